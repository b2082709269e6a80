using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Profiles;

namespace BackTracker.Engine.Sections;

/// <summary>
/// Makes a back from values of its coordinates. Where stations lie and the form of the topline are those found last; the sag of the
/// topline follows the trend of its dip.
/// </summary>
public sealed class Outline
{
    private const double ToplineStepMm = 40;
    private static readonly Station Origin = Station.Of(8);

    private readonly BackTrends trends;
    private readonly List<(SectionTrend Section, double PositionMm)> placed = [];
    private readonly PointMm[] topline;
    private readonly double toplineDipMm;
    private readonly (double FromMm, double ToMm) sag;

    internal Outline(HorseFacts facts, BackTrends trends)
    {
        this.trends = trends;
        SessionFact[] latestFirst = [.. SeriesBuilder.Trended(facts).Reverse()];
        PositionsMm = PositionsOf(latestFirst);
        foreach (var section in trends.Sections)
        {
            if (PositionsMm.TryGetValue(section.Station, out var position))
                placed.Add((section, position));
        }
        topline = Smoothed(latestFirst.FirstOrDefault(session => session.Topline.Count > 0)?.Topline ?? []);
        if (HasTopline)
            (toplineDipMm, sag) = SagOf(topline);
    }

    /// <summary>Where stations lie, mm from T8, as found last; T8 itself is 0.</summary>
    public IReadOnlyDictionary<Station, double> PositionsMm { get; }

    /// <summary>Stations whose section and place are known, front to rear.</summary>
    public IEnumerable<Station> Stations => placed.Select(station => station.Section.Station);

    /// <summary>Whether the spine was traced: without it the back's form lengthwise is not known.</summary>
    public bool HasTopline => topline.Length > 1;

    /// <summary>Whether left and right can be told apart at every station; otherwise both sides are the mean.</summary>
    public bool SidesAreKnown => placed.Count > 0 && placed.TrueForAll(station => station.Section.SidesAreKnown);

    /// <summary>Whether some section follows from traces that had no marks, so that its sides are not known.</summary>
    public bool HasUnmarkedTraces => placed.Exists(station => station.Section is { Kind: SectionKind.Traced, SidesAreKnown: false });

    /// <summary>Whether some section is only modelled from two widths.</summary>
    public bool IsModelled => placed.Exists(station => station.Section.Kind == SectionKind.ByWidths);

    /// <summary>The back with coordinates of given values.</summary>
    /// <param name="values">By coordinate, in the unit of each metric.</param>
    /// <exception cref="GeometryException">Fewer than two stations are known, or they are out of order.</exception>
    public BackShape Of(IReadOnlyList<double> values)
    {
        ArgumentNullException.ThrowIfNull(values);
        var stations = new BackStation[placed.Count];
        for (var i = 0; i < stations.Length; i++)
        {
            var section = placed[i].Section;
            var left = HalfOf(section, values, SidesAreKnown ? -1 : 0);
            stations[i] = new BackStation(placed[i].PositionMm, left, SidesAreKnown ? HalfOf(section, values, 1) : left);
        }
        return new BackShape(stations, Sagging(values));
    }

    /// <summary>One side of the section of a station with coordinates of given values: -1 left, 1 right, 0 the mean of both.</summary>
    internal static HalfSection HalfOf(SectionTrend section, IReadOnlyList<double> values, int sign)
    {
        Span<double> halves = stackalloc double[section.DepthsMm.Count];
        Span<double> depths = stackalloc double[section.DepthsMm.Count];
        for (var i = 0; i < halves.Length; i++)
        {
            depths[i] = section.DepthsMm[i];
            // + = right larger, in percent of the mean of both halves.
            halves[i] = .5 * values[section.FirstWidth + i] * (1 + (sign * AsymmetryAt(section, values, depths[i]) / 200));
        }
        return section.Kind == SectionKind.Traced
            ? new CubicHalf(halves, depths)
            : new PowerHalf(halves[0], depths[0], halves[^1], depths[^1]);
    }

    // Measured at two depths, linear between and constant beyond them.
    internal static double AsymmetryAt(SectionTrend section, IReadOnlyList<double> values, double depthMm)
    {
        var (upper, lower) = section.Asymmetry;
        if (upper < 0 || lower < 0)
            return upper >= 0 ? values[upper] : lower >= 0 ? values[lower] : 0;
        var share = (depthMm - ProfileMetrics.UpperDepthMm) / (ProfileMetrics.LowerDepthMm - ProfileMetrics.UpperDepthMm);
        return double.Lerp(values[upper], values[lower], Math.Clamp(share, 0, 1));
    }

    private PointMm[] Sagging(IReadOnlyList<double> values)
    {
        if (!HasTopline || trends.Dip < 0)
            return topline;
        var more = values[trends.Dip] - toplineDipMm;
        return [.. topline.Select(point => point with { Y = point.Y + (more * Bow((point.X - sag.FromMm) / (sag.ToMm - sag.FromMm))) })];
    }

    private static double Bow(double share) => share is > 0 and < 1 ? 4 * share * (1 - share) : 0;

    private static Dictionary<Station, double> PositionsOf(SessionFact[] latestFirst)
    {
        var positions = new Dictionary<Station, double> { [Origin] = 0 };
        foreach (var (station, position) in latestFirst.SelectMany(session => session.StationPositionsMm))
            positions.TryAdd(station, position);
        return positions;
    }

    /// <summary>A hand wavers by a millimetre, which would read as bridging: points of 40 mm are averaged.</summary>
    private static PointMm[] Smoothed(IReadOnlyList<PointMm> trace)
    {
        if (trace.Count == 0)
            return [];
        var front = trace.Min(point => point.X);
        return
        [
            .. trace.GroupBy(point => (int)((point.X - front) / ToplineStepMm)).OrderBy(step => step.Key)
                .Select(step => new PointMm(step.Average(point => point.X), step.Average(point => point.Y))),
        ];
    }

    /// <summary>The dip of a topline and the two places on which a string laid over it rests on either hand of it.</summary>
    private static (double DipMm, (double FromMm, double ToMm) Sag) SagOf(PointMm[] topline)
    {
        double[] x = [.. topline.Select(point => point.X)], y = [.. topline.Select(point => point.Y)];
        var strings = ConvexMinorant.Of(x, y);
        var deepest = Enumerable.Range(0, x.Length).MaxBy(i => y[i] - strings[i]);
        if (y[deepest] - strings[deepest] <= 0)
            return (0, (x[0], x[^1]));
        bool Rests(int i) => y[i] - strings[i] <= 0;
        var from = Enumerable.Range(0, deepest).Last(Rests);
        var to = Enumerable.Range(deepest + 1, x.Length - deepest - 1).First(Rests);
        return (Topline.Of(topline).DipMm, (x[from], x[to]));
    }
}
