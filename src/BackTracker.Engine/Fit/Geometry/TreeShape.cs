using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>One side of a tree at a station.</summary>
/// <param name="ChannelHalfMm">From the middle to the inner edge of the bearing surface, at least 0, mm.</param>
/// <param name="BearingMm">How far the bearing surface reaches outwards, over 0, mm.</param>
/// <param name="InnerDepthMm">Depth of the inner edge below the tree's straight datum, mm.</param>
/// <param name="Surface">Outward and down from the inner edge, mm: (0, 0) first, X growing; straight between the points.</param>
public sealed record TreeSide(double ChannelHalfMm, double BearingMm, double InnerDepthMm, IReadOnlyList<PointMm> Surface)
{
    /// <summary>A side whose bearing surface is flat.</summary>
    /// <param name="channelHalfMm">From the middle to the inner edge, mm.</param>
    /// <param name="bearingMm">Breadth of the bearing surface, mm.</param>
    /// <param name="innerDepthMm">Depth of the inner edge, mm.</param>
    /// <param name="angleDeg">Slope below the horizontal, degrees.</param>
    public static TreeSide Flat(double channelHalfMm, double bearingMm, double innerDepthMm, double angleDeg) => new(
        channelHalfMm, bearingMm, innerDepthMm, [new(0, 0), new(bearingMm, bearingMm * Math.Tan(double.DegreesToRadians(angleDeg)))]);

    /// <summary>
    /// The side opened: turned outwards about the roof of the arch until its outer edge has moved out by so much. Negative closes it.
    /// </summary>
    /// <param name="mm">How far the outer edge moves out, mm.</param>
    /// <param name="channelHeightMm">Height of the roof above the inner edge, mm.</param>
    /// <exception cref="GeometryException">It cannot be turned so far.</exception>
    public TreeSide Opened(double mm, double channelHeightMm)
    {
        if (mm == 0)
            return this;
        var (reach, below) = (ChannelHalfMm + BearingMm, channelHeightMm + DropOfOuterEdge());
        var arm = double.Hypot(reach, below);
        var turn = Math.Atan2(below, reach) - Math.Acos((reach + mm) / arm);
        if (!double.IsFinite(turn))
            throw new GeometryException(FitFault.TreeGeometryInvalid);
        var (sin, cos) = Math.SinCos(turn);
        PointMm[] turned = [.. Surface.Select(point => Turned(ChannelHalfMm + point.X, channelHeightMm + point.Y))];
        var (inner, outer) = (Turned(ChannelHalfMm, channelHeightMm), Turned(reach, below));
        return new TreeSide(
            inner.X, outer.X - inner.X, InnerDepthMm + inner.Y - channelHeightMm, [.. turned.Select(point => new PointMm(point.X - inner.X, point.Y - inner.Y))]);

        PointMm Turned(double outward, double down) => new((outward * cos) + (down * sin), (down * cos) - (outward * sin));
    }

    private double DropOfOuterEdge()
    {
        var after = Surface.TakeWhile(point => point.X < BearingMm).Count();
        if (after == 0 || after == Surface.Count)
            return Surface[after == 0 ? 0 : ^1].Y;
        var (a, b) = (Surface[after - 1], Surface[after]);
        return double.Lerp(a.Y, b.Y, (BearingMm - a.X) / (b.X - a.X));
    }
}

/// <summary>A tree at a place along the back.</summary>
/// <param name="PositionMm">From T8 towards the tail, mm.</param>
/// <param name="ChannelHeightMm">Height of the channel's roof above the inner edges, mm.</param>
/// <param name="Left">The left side.</param>
/// <param name="Right">The right side.</param>
public sealed record TreeStation(double PositionMm, double ChannelHeightMm, TreeSide Left, TreeSide Right)
{
    /// <summary>One of the sides.</summary>
    public TreeSide Of(Side side) => side == Side.Left ? Left : Right;
}

/// <summary>A tree along its length: between stations everything follows monotone cubics, the surface at equal shares of its breadth.</summary>
public sealed class TreeShape
{
    private readonly TreeStation[] stations;
    private readonly double[] positions;
    private readonly TreeFlank left;
    private readonly TreeFlank right;
    private readonly MonotoneCubic innerDepth;
    private readonly MonotoneCubic channelHeight;

    /// <summary>A tree from its stations.</summary>
    /// <param name="stations">Two or more, from front to rear.</param>
    /// <exception cref="GeometryException">Fewer than two stations, out of order, or a side without breadth.</exception>
    public TreeShape(IReadOnlyList<TreeStation> stations)
    {
        ArgumentNullException.ThrowIfNull(stations);
        if (stations.Count < 2)
            throw new GeometryException(FitFault.TooFewTreeStations);
        this.stations = [.. stations];
        positions = [.. stations.Select(station => station.PositionMm)];
        for (var i = 1; i < positions.Length; i++)
        {
            if (!(positions[i] > positions[i - 1]))
                throw new GeometryException(FitFault.StationsNotOrdered);
        }
        (left, right) = (new TreeFlank(positions, [.. stations.Select(station => station.Left)]), new TreeFlank(positions, [.. stations.Select(station => station.Right)]));
        innerDepth = new MonotoneCubic(positions, [.. stations.Select(station => .5 * (station.Left.InnerDepthMm + station.Right.InnerDepthMm))]);
        channelHeight = new MonotoneCubic(positions, [.. stations.Select(station => station.ChannelHeightMm)]);
    }

    /// <summary>The stations from front to rear.</summary>
    public IReadOnlyList<TreeStation> Stations => stations;

    /// <summary>Position of the front edge, mm from T8.</summary>
    public double FrontMm => positions[0];

    /// <summary>Position of the rear edge, mm from T8.</summary>
    public double RearMm => positions[^1];

    /// <summary>Length of the bearing surface, mm.</summary>
    public double LengthMm => RearMm - FrontMm;

    /// <summary>From the middle to the inner edge, mm.</summary>
    public double ChannelHalfAt(Side side, double positionMm) => Of(side).ChannelHalfAt(positionMm);

    /// <summary>Depth of the channel's roof below the datum, mm; above it where negative.</summary>
    public double RoofAt(double positionMm) => innerDepth.At(positionMm) - channelHeight.At(positionMm);

    /// <summary>The tree cut across at a position on one side; beyond its ends as at them.</summary>
    internal TreeCut CutAt(Side side, double positionMm) => Of(side).CutAt(Math.Clamp(positionMm, FrontMm, RearMm));

    private TreeFlank Of(Side side) => side == Side.Left ? left : right;
}
