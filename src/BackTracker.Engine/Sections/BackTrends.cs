using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Profiles;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Sections;

/// <summary>From what the section of a station follows.</summary>
public enum SectionKind
{
    /// <summary>From half widths at several depths, as traces give them.</summary>
    Traced,

    /// <summary>From two widths: a power curve through both, a model.</summary>
    ByWidths,
}

/// <summary>A station whose section can be told on any day.</summary>
/// <param name="Station">The station.</param>
/// <param name="Kind">From what.</param>
/// <param name="DepthsMm">Depths of its half widths, growing, mm.</param>
public sealed record SectionTrend(Station Station, SectionKind Kind, IReadOnlyList<int> DepthsMm)
{
    internal int FirstWidth { get; init; }

    /// <summary>Index of the left/right difference at 30 and at 150 mm; below 0 where there is none.</summary>
    internal (int Upper, int Lower) Asymmetry { get; init; } = (-1, -1);

    /// <summary>Whether left and right can be told apart: some trace had both marks.</summary>
    public bool SidesAreKnown => Asymmetry.Upper >= 0 || Asymmetry.Lower >= 0;
}

/// <summary>
/// What moves the sections of a back: at each station the width at 30, 60, 90, 120 and 150 mm as far as traces reach, the left/right
/// difference at 30 and 150 mm where marks allow, and the dip of the topline. Each is one robust trend; a widths-only horse has the
/// widths that were measured. Their errors go together: 0.8 between depths of a station, 0.5 between stations, until it is learned how
/// far they really do (common practice, no source).
/// </summary>
public sealed class BackTrends
{
    private const double SameStation = .8;
    private const double OtherStation = .5;
    private static readonly int[] Depths = [30, 60, 90, 120, 150];

    private readonly List<MetricTrend> trends = [];
    private readonly Dictionary<Metric, int> index = [];
    private readonly Dictionary<DateOnly, BackState> states = [];
    private readonly Dictionary<DateOnly, BackPaths> paths = [];
    private readonly double[,] correlations;
    private readonly double[,] directions;

    /// <summary>The trends of a horse's back.</summary>
    /// <param name="horse">Trends of the horse as of the day asked.</param>
    public BackTrends(HorseTrends horse)
    {
        ArgumentNullException.ThrowIfNull(horse);
        var stations = horse.MeasuredWidths.Select(metric => metric.Station!.Value).Distinct().Order();
        Sections = [.. stations.Select(station => SectionOf(horse, station)).OfType<SectionTrend>()];
        Dip = Add(horse, new Metric(Quantity.Dip));
        Outline = new Outline(horse.Facts, this);
        correlations = Correlations();
        directions = Cholesky.Of(correlations);
    }

    /// <summary>Stations whose section can be told, front to rear.</summary>
    public IReadOnlyList<SectionTrend> Sections { get; }

    /// <summary>What is known of the back beside its sections.</summary>
    public Outline Outline { get; }

    /// <summary>How many coordinates there are.</summary>
    public int Count => trends.Count;

    /// <summary>The metric of a coordinate.</summary>
    public Metric MetricOf(int coordinate) => trends[coordinate].Series.Metric;

    /// <summary>Index of the dip of the topline; below 0 where none was traced.</summary>
    internal int Dip { get; }

    /// <summary>Index of a metric among the coordinates; below 0 where it is none.</summary>
    internal int IndexOf(Metric metric) => index.GetValueOrDefault(metric, -1);

    internal MetricTrend TrendOf(int coordinate) => trends[coordinate];

    /// <summary>Day of the latest session that measured any coordinate.</summary>
    public DateOnly LastOn => trends.Max(trend => trend.Series.Points[^1].On);

    /// <summary>Every coordinate on a day.</summary>
    public BackState On(DateOnly day)
    {
        if (!states.TryGetValue(day, out var state))
        {
            var levels = trends.ConvertAll(trend => trend.On(day));
            states.Add(day, state = new BackState([.. levels.Select(level => level.Mean)], [.. levels.Select(level => level.Sd)]));
        }
        return state;
    }

    /// <summary>How far the errors of two coordinates go together.</summary>
    public double Correlation(int a, int b) => correlations[a, b];

    /// <summary>
    /// What a coordinate moves by for one standard deviation along a direction. The directions are independent of each other: the back is its
    /// mean and a standard normal number times the loadings of each (the Cholesky triangle of the covariances).
    /// </summary>
    /// <param name="coordinate">The coordinate.</param>
    /// <param name="direction">The direction, 0 to <see cref="Count"/> - 1.</param>
    /// <param name="state">The day.</param>
    internal double LoadingOf(int coordinate, int direction, BackState state) => state.Sds[coordinate] * ShareOf(coordinate, direction);

    /// <summary>The same for a coordinate with a standard deviation of 1.</summary>
    internal double ShareOf(int coordinate, int direction) => directions[coordinate, direction];

    /// <summary>Paths the back may take from a day at or after <see cref="LastOn"/> of what is asked of them.</summary>
    internal BackPaths PathsFrom(DateOnly start)
    {
        if (!paths.TryGetValue(start, out var found))
            paths.Add(start, found = new BackPaths(this, start));
        return found;
    }

    private double[,] Correlations()
    {
        var found = new double[Count, Count];
        for (var a = 0; a < Count; a++)
        {
            for (var b = 0; b < Count; b++)
                found[a, b] = a == b ? 1 : CorrelationOf(MetricOf(a), MetricOf(b));
        }
        return found;
    }

    private static double CorrelationOf(Metric a, Metric b) =>
        a.Quantity != b.Quantity ? 0 : a.Station == b.Station ? SameStation : OtherStation;

    private SectionTrend? SectionOf(HorseTrends horse, Station station)
    {
        int[] measured = [.. Depths.Where(depth => horse.TryGet(Metric.Width(station, depth), out _))];
        var first = Count;
        foreach (var depth in measured)
            Add(horse, Metric.Width(station, depth));
        var asymmetry = (Add(horse, new Metric(Quantity.Asymmetry, station, ProfileMetrics.UpperDepthMm)), Add(horse, new Metric(Quantity.Asymmetry, station, ProfileMetrics.LowerDepthMm)));
        var kind = measured.Length > 2 ? SectionKind.Traced : SectionKind.ByWidths;
        return measured.Length < 2 ? null : new SectionTrend(station, kind, measured) { FirstWidth = first, Asymmetry = asymmetry };
    }

    private int Add(HorseTrends horse, Metric metric)
    {
        if (!horse.TryGet(metric, out var trend))
            return -1;
        trends.Add(trend);
        index.Add(metric, trends.Count - 1);
        return trends.Count - 1;
    }
}

/// <summary>Every coordinate of a back on a day.</summary>
/// <param name="Means">Expected values, in the unit of each metric.</param>
/// <param name="Sds">Standard deviations.</param>
public sealed record BackState(double[] Means, double[] Sds);
