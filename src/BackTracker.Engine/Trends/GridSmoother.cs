using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Trends;

/// <summary>Smoothed levels of a whole grid on days up to the last observation. For drawing, never for decisions.</summary>
internal sealed class GridSmoother(GridModel model, GridPosterior posterior, ObservationRow[] rows, RateKick[] kicks)
{
    // Smoothing is dear: parameters that weigh less are passed over, which moves a level by a few hundredths of its standard deviation at most.
    private const double LeastWeight = .001;

    /// <summary>The level with season on each day.</summary>
    public LevelForecast[] LevelsOn(double[] days)
    {
        var states = posterior.States.Where(state => state.Weight > LeastWeight).ToArray();
        var byState = states.Select(state => Smooth(state.Point, days)).ToArray();
        var kept = states.Sum(state => state.Weight);
        return [.. days.Select((day, i) => new LevelForecast(new NormalMixture(
            [.. states.Select(state => state.Weight / kept)],
            [.. byState.Select(levels => levels[i].Mean)],
            [.. byState.Select(levels => levels[i].Sd)])))];
    }

    private (double Mean, double Sd)[] Smooth(GridPoint point, double[] days)
    {
        var first = rows.Min(row => row.Day);
        var looks = days.Select(day => Math.Max(day, first)).Distinct().ToArray();
        var pass = RobustFilter.Run(
            Settings(point),
            [.. rows.Select(row => Observation(row, point))],
            [.. kicks.Select(kick => new RateChange(kick.Day, 0, kick.Sd))],
            looks);
        // The last stop of a day is its look.
        var smoothed = pass.Smoothed().GroupBy(stop => stop.Day).ToDictionary(stops => stops.Key, stops => stops.Last());
        return [.. days.Select(day => Level(smoothed[Math.Max(day, first)].Mean, smoothed[Math.Max(day, first)].Cov, first - day, point, day))];
    }

    private static (double Mean, double Sd) Level(double[] mean, double[,] cov, double daysBefore, GridPoint point, double day)
    {
        var t = daysBefore > 0 ? Transition.Over(daysBefore, point.TauDays).Backwards : Transition.None;
        var season = Season.On(day);
        double[] design = [1, t.LevelFromRate, 0, season.Cos, season.Sin];
        var var = Dense.Dot(design, Dense.Times(cov, design)) + point.DrivingVar * t.LevelVar;
        return (Dense.Dot(design, mean), Math.Sqrt(Math.Max(var, 0)));
    }

    private RobustSettings Settings(GridPoint point) => new()
    {
        DrivingVar = point.DrivingVar,
        RateVar = point.RateSd * point.RateSd,
        TauDays = point.TauDays,
        LevelMean = model.LevelMean,
        LevelVar = model.LevelSd * model.LevelSd,
        StaticVars = [model.BiasSd * model.BiasSd, model.SeasonSd * model.SeasonSd, model.SeasonSd * model.SeasonSd],
        Surprises = model.Surprises,
    };

    private static RobustObservation Observation(ObservationRow row, GridPoint point)
    {
        var season = Season.On(row.Day);
        return new RobustObservation(row.Day, row.Value, row.NoiseVar + point.SessionSd * point.SessionSd, [row.BiasShare, season.Cos, season.Sin]);
    }
}
