using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;

namespace BackTracker.Engine.Trends;

/// <summary>What a grid point has come to.</summary>
internal readonly record struct Score(int Index, double LogPosterior, FiveStates State);

/// <summary>Up to four grid points with one memory; empty lanes repeat the last point and are never read.</summary>
internal sealed class LanePack(double tauDays, (GridPoint Point, int Index)[] points)
{
    private readonly Lanes drivingVar = Lane(points, point => point.DrivingVar);
    private readonly Lanes sessionVar = Lane(points, point => point.SessionSd * point.SessionSd);
    private readonly Lanes logPrior = Lane(points, point => point.LogPrior);
    private FiveLanes state;
    private Lanes logDensity;

    public double TauDays => tauDays;

    /// <summary>Lanes that are read.</summary>
    public int Count => points.Length;

    /// <summary>Variance between sessions.</summary>
    public Lanes SessionVar => sessionVar;

    /// <summary>Log of the weights, up to a constant that all packs share.</summary>
    public Lanes LogPosterior => logPrior + logDensity;

    public static List<LanePack> Of(IReadOnlyList<GridPoint> points) =>
        [.. points.Select((point, index) => (Point: point, Index: index))
            .GroupBy(entry => entry.Point.TauDays)
            .SelectMany(group => group.Chunk(Lanes.Count).Select(chunk => new LanePack(group.Key, chunk)))];

    public void Run(GridModel model, Stop[] stops, Sighting[] sightings, Transition[] transitions, Span<LaneVerdict> verdicts)
    {
        Begin(model);
        for (var i = 0; i < stops.Length; i++)
        {
            if (stops[i].Row < 0)
                Kick(transitions[i], stops[i].KickVar);
            else
                verdicts[stops[i].Row] = See(transitions[i], sightings[stops[i].Row], model.Surprises);
        }
    }

    /// <summary>Goes back to the prior.</summary>
    public void Begin(GridModel model)
    {
        state = FiveLanes.Prior(model, Lane(points, point => point.RateSd));
        logDensity = Lanes.Zero;
    }

    public void Kick(in Transition since, double var)
    {
        state.Propagate(since, drivingVar);
        state.Kick(var);
    }

    public LaneVerdict See(in Transition since, in Sighting seen, in SurpriseModel surprises)
    {
        state.Propagate(since, drivingVar);
        var verdict = state.Update(seen, sessionVar, surprises);
        logDensity += verdict.LogDensity;
        return verdict;
    }

    /// <summary>Mean and variance of level plus season after a span in which nothing is seen; the pack stays where it is.</summary>
    public (Lanes Mean, Lanes Var) LevelAfter(in Transition since, Season season)
    {
        var ahead = state;
        ahead.Propagate(since, drivingVar);
        return ahead.LevelIn(season);
    }

    public IEnumerable<Score> Scores() =>
        points.Select((entry, lane) => new Score(entry.Index, entry.Point.LogPrior + logDensity[lane], state.Lane(lane)));

    public Lanes LaneWeights(GridState[] states)
    {
        var weights = Lanes.Zero;
        for (var lane = 0; lane < points.Length; lane++)
            weights = weights.WithElement(lane, Array.Find(states, kept => kept.Index == points[lane].Index)?.Weight ?? 0);
        return weights;
    }

    private static Lanes Lane((GridPoint Point, int Index)[] points, Func<GridPoint, double> value)
    {
        var lanes = Lanes.Zero;
        for (var lane = 0; lane < Lanes.Count; lane++)
            lanes = lanes.WithElement(lane, value(points[Math.Min(lane, points.Length - 1)].Point));
        return lanes;
    }
}
