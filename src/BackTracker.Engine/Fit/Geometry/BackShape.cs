using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Profiles;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>A cross-section at its place along the back.</summary>
/// <param name="PositionMm">From T8 towards the tail, mm.</param>
/// <param name="Left">The horse's left.</param>
/// <param name="Right">The horse's right.</param>
public readonly record struct BackStation(double PositionMm, HalfSection Left, HalfSection Right)
{
    /// <summary>One of the sides.</summary>
    public HalfSection Of(Assessments.Side side) => side == Assessments.Side.Left ? Left : Right;
}

/// <summary>
/// The skin of a back as depth over a plane: cross-sections joined lengthwise by monotone cubics at equal offsets, laid under the
/// topline. Beyond the first and last station it goes on as they are.
/// </summary>
public sealed class BackShape
{
    private readonly BackStation[] stations;
    private readonly double[] positions;
    private readonly MonotoneCubic topline;

    /// <summary>A back from its sections and topline.</summary>
    /// <param name="stations">Two or more, from front to rear.</param>
    /// <param name="topline">Depth of the skin over the midline by position, positions increasing; empty where the topline is level.</param>
    /// <exception cref="GeometryException">Fewer than two stations, or out of order.</exception>
    public BackShape(IReadOnlyList<BackStation> stations, IReadOnlyList<PointMm> topline)
    {
        ArgumentNullException.ThrowIfNull(stations);
        ArgumentNullException.ThrowIfNull(topline);
        if (stations.Count < 2)
            throw new GeometryException(FitFault.TooFewStations);
        this.stations = [.. stations];
        positions = [.. stations.Select(station => station.PositionMm)];
        for (var i = 1; i < positions.Length; i++)
        {
            if (!(positions[i] > positions[i - 1]))
                throw new GeometryException(FitFault.StationsNotOrdered);
        }
        this.topline = topline.Count == 0
            ? new MonotoneCubic([0], [0])
            : new MonotoneCubic([.. topline.Select(point => point.X)], [.. topline.Select(point => point.Y)]);
    }

    /// <summary>The sections from front to rear.</summary>
    public IReadOnlyList<BackStation> Stations => stations;

    /// <summary>Depth of the skin over the midline at a position, mm.</summary>
    public double TopAt(double positionMm) => topline.At(positionMm);

    /// <summary>Depth of the skin, mm; NaN where a section on either hand does not reach the offset.</summary>
    /// <param name="positionMm">Along the back, mm.</param>
    /// <param name="side">Which side of the midline.</param>
    /// <param name="offsetMm">Distance from the midline, at least 0, mm.</param>
    public double DepthAt(double positionMm, Assessments.Side side, double offsetMm) => CutAt(positionMm).DepthAt(side, offsetMm);

    /// <summary>The back cut across at a position.</summary>
    internal BackCut CutAt(double positionMm)
    {
        if (positionMm <= positions[0])
            return CutOf(0..1, positionMm, before: 0);
        if (positionMm >= positions[^1])
            return CutOf(^1.., positionMm, before: 0);
        // Nobody beyond the neighbours of the interval has a say in the slopes of a monotone cubic.
        var before = MonotoneCubic.Interval(positions, positionMm);
        var first = Math.Max(0, before - 1);
        return CutOf(first..Math.Min(positions.Length, before + 3), positionMm, before - first);
    }

    private BackCut CutOf(Range around, double positionMm, int before) => new()
    {
        PositionMm = positionMm,
        TopMm = topline.At(positionMm),
        Positions = positions.AsSpan(around),
        Stations = stations.AsSpan(around),
        Before = before,
        Across = positions.AsSpan(around).Length > 1 ? new CubicAcross(positions.AsSpan(around), before, positionMm) : default,
    };
}

/// <summary>A back cut across.</summary>
internal readonly ref struct BackCut
{
    public required double PositionMm { get; init; }

    /// <summary>Depth of the skin over the midline, mm.</summary>
    public required double TopMm { get; init; }

    /// <summary>Where the sections around the cut lie, at most four; one beyond the ends.</summary>
    public required ReadOnlySpan<double> Positions { get; init; }

    public required ReadOnlySpan<BackStation> Stations { get; init; }

    /// <summary>Which of them is the last before the cut.</summary>
    public required int Before { get; init; }

    /// <summary>From the sections around the cut to the cut itself.</summary>
    public required CubicAcross Across { get; init; }

    /// <summary>Depth of the skin at an offset, mm; NaN where a section on either hand does not reach it.</summary>
    public double DepthAt(Assessments.Side side, double offsetMm)
    {
        Span<double> depths = stackalloc double[4];
        for (var i = 0; i < Stations.Length; i++)
            depths[i] = Stations[i].Of(side).DepthAt(offsetMm);
        if (Stations.Length == 1)
            return TopMm + depths[0];
        if (double.IsNaN(depths[Before] + depths[Before + 1]))
            return double.NaN;
        if (!double.IsNaN(depths[0] + depths[Stations.Length - 1]))
            return TopMm + Across.At(depths);
        // A neighbour that does not reach is left out of the slopes.
        var first = double.IsNaN(depths[0]) ? 1 : 0;
        var end = Stations.Length - (double.IsNaN(depths[Stations.Length - 1]) ? 1 : 0);
        return TopMm + MonotoneCubic.Once(Positions[first..end], depths[first..end], PositionMm);
    }
}
