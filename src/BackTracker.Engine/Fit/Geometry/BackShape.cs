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
    public double DepthAt(double positionMm, Assessments.Side side, double offsetMm) =>
        topline.At(positionMm) + SectionDepthAt(positionMm, side, offsetMm);

    /// <summary>Depth below the skin over the midline of the same position, mm; NaN where it is not known.</summary>
    internal double SectionDepthAt(double positionMm, Assessments.Side side, double offsetMm)
    {
        if (positionMm <= positions[0])
            return stations[0].Of(side).DepthAt(offsetMm);
        if (positionMm >= positions[^1])
            return stations[^1].Of(side).DepthAt(offsetMm);
        var before = MonotoneCubic.Interval(positions, positionMm);
        Span<double> depths = [double.NaN, stations[before].Of(side).DepthAt(offsetMm), stations[before + 1].Of(side).DepthAt(offsetMm), double.NaN];
        if (double.IsNaN(depths[1] + depths[2]))
            return double.NaN;
        if (before > 0)
            depths[0] = stations[before - 1].Of(side).DepthAt(offsetMm);
        if (before + 2 < stations.Length)
            depths[3] = stations[before + 2].Of(side).DepthAt(offsetMm);
        // A neighbour that does not reach is left out of the slopes; nobody beyond the neighbours has a say in them.
        var first = double.IsNaN(depths[0]) ? 1 : 0;
        var count = (double.IsNaN(depths[3]) ? 3 : 4) - first;
        return MonotoneCubic.Once(positions.AsSpan(before - 1 + first, count), depths.Slice(first, count), positionMm);
    }
}
