using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Trends;

/// <summary>What a grid point believes after the last observation.</summary>
/// <param name="Weight">Its posterior weight; the weights kept sum to 1.</param>
/// <param name="Point">Its dynamics.</param>
/// <param name="Index">Its place in the grid.</param>
public sealed record GridState(double Weight, GridPoint Point, int Index)
{
    internal FiveStates State { get; init; }

    /// <summary>Level without season and bias, unit.</summary>
    public double Level => State.L;

    /// <summary>Rate, unit a day.</summary>
    public double Rate => State.S;

    /// <summary>Variance of the level.</summary>
    public double LevelVar => State.LL;

    /// <summary>Covariance of level and rate.</summary>
    public double LevelRateCov => State.LS;

    /// <summary>Variance of the rate.</summary>
    public double RateVar => State.SS;
}

/// <summary>Probabilities of the surprises at one observation, averaged over the grid.</summary>
internal readonly record struct SurpriseProbabilities(double Outlier, double Step, double Kink);

/// <summary>The grid after the last observation, with the forecasts that follow from it.</summary>
public sealed class GridPosterior
{
    private readonly Timeline timeline;

    internal GridPosterior(Timeline timeline, IReadOnlyList<GridState> states, IReadOnlyList<SurpriseProbabilities> surprises)
    {
        this.timeline = timeline;
        States = states;
        Surprises = surprises;
    }

    /// <summary>Every grid point with a weight of at least 1e-6 of the whole.</summary>
    public IReadOnlyList<GridState> States { get; }

    internal IReadOnlyList<SurpriseProbabilities> Surprises { get; }

    /// <summary>Level plus season on a day at or after the last observation, kicks up to that day included.</summary>
    /// <param name="day">Day on the scale of the observations.</param>
    public NormalMixture LevelOn(double day)
    {
        var season = Season.On(day);
        return Mixture(state => StateOn(state, day).LevelIn(season));
    }

    /// <summary>Rate after the last observation.</summary>
    public NormalMixture Rate() => Mixture(state => (state.State.S, state.State.SS));

    /// <summary>Paths of level plus season from a day at or after the last observation on.</summary>
    /// <param name="day">The day, on the scale of the observations.</param>
    /// <param name="grid">Days after it to be looked at.</param>
    /// <param name="normals">As for <see cref="LevelPaths"/>.</param>
    internal LevelPaths PathsFrom(double day, PathGrid grid, Func<int, double[]> normals) => new(
        States.Select(state => new PathStart(state.Weight, StateOn(state, day), state.Point.DrivingVar, state.Point.TauDays)),
        day, [.. timeline.Later.Where(kick => kick.Day > day)], grid, normals);

    internal FiveStates StateOn(GridState state, double day)
    {
        var (moments, now) = (state.State, timeline.LastDay);
        foreach (var kick in timeline.Later)
        {
            if (kick.Day > day)
                break;
            moments = moments.After(Transition.Over(kick.Day - now, state.Point.TauDays), state.Point.DrivingVar).Kicked(kick.Sd * kick.Sd);
            now = kick.Day;
        }
        return moments.After(Transition.Over(day - now, state.Point.TauDays), state.Point.DrivingVar);
    }

    internal NormalMixture Mixture(Func<GridState, (double Mean, double Var)> moments)
    {
        var (weights, means, sds) = (new double[States.Count], new double[States.Count], new double[States.Count]);
        for (var i = 0; i < States.Count; i++)
        {
            var (mean, var) = moments(States[i]);
            (weights[i], means[i], sds[i]) = (States[i].Weight, mean, Math.Sqrt(var));
        }
        return new NormalMixture(weights, means, sds);
    }
}
