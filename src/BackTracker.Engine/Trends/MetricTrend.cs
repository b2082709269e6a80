using BackTracker.Engine.Assessments;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Trends;

/// <summary>
/// The trend of one metric of one horse: level and rate with their uncertainty, a diagnosis of each session, and forecasts.
/// The level's prior lies around the first session, wide enough that this session sets it; days count from it, so dates may be shifted freely.
/// For one thread.
/// </summary>
public sealed class MetricTrend
{
    /// <summary>Days over which a rate, kept up, is held against the least real change: twelve weeks.</summary>
    public const int SteadyDays = 84;

    private const int LeastSessions = 3;
    private const double Sqrt2 = 1.4142135623730951;

    private readonly TrendModel model;
    private readonly SeriesScale scale;
    private readonly SeriesPoint[] points;
    private readonly GridModel grid;
    private readonly GridPosterior posterior;
    private readonly Lazy<IReadOnlyList<SmoothedLevel>> smoothed;
    private readonly Dictionary<double, LevelForecast> before = [];

    private MetricTrend(MetricSeries series, TrendModel model)
    {
        (Series, this.model) = (series, model);
        scale = new SeriesScale(series.Metric, model);
        points = Ordered(series);
        grid = model.For(series, points.Length == 0 ? 0 : points[0].Mean);
        posterior = GridFilter.Run(grid, Rows(), Kicks());
        LeastRealChange = 1.96 * Sqrt2 * Math.Sqrt(TypicalRepeatVar() + AverageSessionVar());
        Points = Diagnose();
        (Rate, Direction) = (DescribeRate(), TrendDirection.NoTrendYet);
        Direction = DescribeDirection();
        smoothed = new Lazy<IReadOnlyList<SmoothedLevel>>(Smooth);
    }

    /// <summary>What was fitted.</summary>
    public MetricSeries Series { get; }

    /// <summary>The numbers it went by.</summary>
    public TrendModel Model => model;

    /// <summary>Rate after the last session, averaged over the grid; the prior where there is no session.</summary>
    public RateEstimate Rate { get; }

    /// <summary>
    /// Which way the metric goes. With fewer than three sessions: no trend yet. Rising or falling when the 80 % interval of the rate leaves zero
    /// out. Steady when the interval holds zero and neither end, kept up for twelve weeks, reaches the least real change. Else no trend yet.
    /// Four weeks would call nearly everything steady: the prior alone keeps a rate below a least real change in that time.
    /// </summary>
    public TrendDirection Direction { get; }

    /// <summary>Every session in order of day with what the model thinks of it.</summary>
    public IReadOnlyList<PointDiagnosis> Points { get; }

    /// <summary>Smoothed level with season on the day of every session; computed when first asked for. For drawing, never for decisions.</summary>
    public IReadOnlyList<SmoothedLevel> Smoothed => smoothed.Value;

    /// <summary>
    /// Least change between two sessions that is real with 95 % confidence, 1.96 sqrt(2) r, in the metric's unit; r holds repeats and the part
    /// between sessions (Bland and Altman 1996, BMJ 312:1654). Repeats as they tell in the median session.
    /// </summary>
    public double LeastRealChange { get; }

    /// <summary>The grid after the last session, for what is computed from it: exit probabilities and days.</summary>
    public GridPosterior Posterior => posterior;

    /// <summary>Fits a series.</summary>
    /// <param name="series">The series; any number of sessions, also several a day, and events anywhere.</param>
    /// <param name="model">The numbers to go by.</param>
    /// <exception cref="ArgumentException">A value is not finite, a session has no repeats, a repeat error that is none, or was after work.</exception>
    public static MetricTrend Fit(MetricSeries series, TrendModel model)
    {
        ArgumentNullException.ThrowIfNull(series);
        ArgumentNullException.ThrowIfNull(model);
        foreach (var point in series.Points)
        {
            if (!double.IsFinite(point.Mean) || point.Repeats < 1 || !(point.RepeatSd > 0) || point.Exercise == ExerciseState.After)
                throw new ArgumentException($"The session of {point.On:O} does not belong in a series: {point}.", nameof(series));
        }
        return new MetricTrend(series, model);
    }

    /// <summary>
    /// The level with season on a day: after the last session the filter's forecast, with the events up to that day; before it the smoothed level;
    /// before the first session the smoothed level carried backwards.
    /// </summary>
    public LevelForecast On(DateOnly day)
    {
        if (points.Length == 0)
            return new LevelForecast(null);
        var offset = DaysSinceFirst(day);
        return offset >= DaysSinceFirst(points[^1].On) ? new LevelForecast(posterior.LevelOn(offset)) : SmoothedOn(offset);
    }

    // Smoothing is dear, and every saddle of a horse asks for the same days.
    private LevelForecast SmoothedOn(double offset)
    {
        if (!before.TryGetValue(offset, out var level))
            before.Add(offset, level = Smoother().LevelsOn([offset])[0]);
        return level;
    }

    /// <summary>The same on several days, for little more than the cost of one.</summary>
    internal IReadOnlyList<LevelForecast> LevelsOn(IReadOnlyList<DateOnly> days)
    {
        var last = points[^1].On;
        DateOnly[] inside = [.. days.Where(day => day < last).Distinct()];
        var smooth = Smoother().LevelsOn([.. inside.Select(DaysSinceFirst)]);
        return [.. days.Select(day => day < last ? smooth[Array.IndexOf(inside, day)] : On(day))];
    }

    /// <summary>
    /// What a session at or after the last one is expected to read, its error of measuring counted in; outliers, steps and changes of pace on that day
    /// are surprises and left out. Its own value is not looked at.
    /// </summary>
    /// <param name="session">The session: its day, its repeats and whether the horse had worked.</param>
    /// <exception cref="InvalidOperationException">There is no session to go by.</exception>
    public NormalMixture ReadingOn(SeriesPoint session) => posterior.Mixture(ReadingBy(session));

    /// <summary>The same by each point of the grid that was kept, in their order.</summary>
    internal IReadOnlyList<(double Mean, double Var)> ReadingsOn(SeriesPoint session) => [.. posterior.States.Select(ReadingBy(session))];

    private Func<GridState, (double Mean, double Var)> ReadingBy(SeriesPoint session)
    {
        if (points.Length == 0)
            throw new InvalidOperationException("Without a session nothing is forecast.");
        var row = RowOf(session);
        var season = Season.On(row.Day);
        return state =>
        {
            var (mean, var) = posterior.StateOn(state, row.Day).ReadingIn(season, row.BiasShare);
            return (mean, var + row.NoiseVar + (state.Point.SessionSd * state.Point.SessionSd));
        };
    }

    /// <summary>Paths of the level with season from a day at or after the last session on.</summary>
    internal LevelPaths PathsFrom(DateOnly day, PathGrid days, Func<int, double[]> normals) => posterior.PathsFrom(DaysSinceFirst(day), days, normals);

    private double DaysSinceFirst(DateOnly day) => day.DayNumber - points[0].On.DayNumber;

    private static SeriesPoint[] Ordered(MetricSeries series) => [.. series.Points.Order(SeriesOrder.Instance)];

    private ObservationRow[] Rows() => [.. points.Select(RowOf)];

    private ObservationRow RowOf(SeriesPoint point) => scale.RowOf(point, DaysSinceFirst(point.On));

    // An event and a change of phase on one day are one occurrence.
    private RateKick[] Kicks() => points.Length == 0
        ? []
        : [.. Series.EventDays.Distinct().Order().Select(day => new RateKick(DaysSinceFirst(day), scale.KickSd))];

    private double AverageSessionVar() => posterior.States.Sum(state => state.Weight * state.Point.SessionSd * state.Point.SessionSd);

    private double TypicalRepeatVar() => points.Length == 0
        ? model.SessionSdOf(Series.Metric) * model.SessionSdOf(Series.Metric)
        : points.Select(point => point.RepeatVar).OrderDescending().ElementAt(points.Length / 2);

    private PointDiagnosis[] Diagnose()
    {
        var (sessionVar, rows) = (AverageSessionVar(), Rows());
        return [.. points.Select((point, i) => new PointDiagnosis(
            point.On, point.Mean, Math.Sqrt(rows[i].NoiseVar + sessionVar),
            posterior.Surprises[i].Outlier, posterior.Surprises[i].Step, posterior.Surprises[i].Kink))];
    }

    private RateEstimate DescribeRate()
    {
        var rate = posterior.Rate();
        return new RateEstimate(rate.Mean, rate.Sd, rate.UpperTail(0), rate.Quantile(.1), rate.Quantile(.9));
    }

    private TrendDirection DescribeDirection()
    {
        if (points.Length < LeastSessions)
            return TrendDirection.NoTrendYet;
        if (Rate.Low80 > 0)
            return TrendDirection.Rising;
        if (Rate.High80 < 0)
            return TrendDirection.Falling;
        var largest = SteadyDays * Math.Max(-Rate.Low80, Rate.High80);
        return largest < LeastRealChange ? TrendDirection.Steady : TrendDirection.NoTrendYet;
    }

    private GridSmoother Smoother() => new(grid, posterior, Rows(), Kicks());

    private SmoothedLevel[] Smooth()
    {
        if (points.Length == 0)
            return [];
        var days = points.Select(point => point.On).Distinct().ToArray();
        var levels = Smoother().LevelsOn([.. days.Select(DaysSinceFirst)]);
        return [.. points.Select(point => levels[Array.IndexOf(days, point.On)])
            .Zip(points, (level, point) => new SmoothedLevel(point.On, level.Mean, level.Sd))];
    }
}
