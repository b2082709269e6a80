using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>One side of a tree along its length.</summary>
internal sealed class TreeFlank
{
    private readonly double[] positions;
    private readonly PointMm[][] surfaces;
    private readonly double[] breadths;
    private readonly MonotoneCubic channelHalf;
    private readonly MonotoneCubic bearing;
    private readonly MonotoneCubic innerDepth;

    /// <summary>A side from its sections.</summary>
    /// <param name="positions">Two or more, increasing, mm from T8.</param>
    /// <param name="sides">As many sections.</param>
    /// <exception cref="GeometryException">A section has no breadth or no surface, or crosses the middle.</exception>
    public TreeFlank(double[] positions, TreeSide[] sides)
    {
        if (sides.Any(side => !(side.BearingMm > 0) || !(side.ChannelHalfMm >= 0) || side.Surface.Count == 0))
            throw new GeometryException(FitFault.TreeGeometryInvalid);
        (this.positions, surfaces, breadths) = (positions, [.. sides.Select(side => side.Surface.ToArray())], [.. sides.Select(side => side.BearingMm)]);
        channelHalf = new MonotoneCubic(positions, [.. sides.Select(side => side.ChannelHalfMm)]);
        bearing = new MonotoneCubic(positions, breadths);
        innerDepth = new MonotoneCubic(positions, [.. sides.Select(side => side.InnerDepthMm)]);
    }

    public double ChannelHalfAt(double positionMm) => channelHalf.At(positionMm);

    /// <summary>A cut between the ends.</summary>
    public TreeCut CutAt(double positionMm)
    {
        // Slopes of a monotone cubic hang on the neighbours of the interval alone.
        var before = MonotoneCubic.Interval(positions, positionMm);
        var (first, end) = (Math.Max(0, before - 1), Math.Min(positions.Length, before + 3));
        return new TreeCut
        {
            PositionMm = positionMm,
            Positions = positions.AsSpan(first..end),
            Surfaces = surfaces.AsSpan(first..end),
            BreadthsMm = breadths.AsSpan(first..end),
            ChannelHalfMm = channelHalf.At(positionMm),
            BearingMm = bearing.At(positionMm),
            InnerDepthMm = innerDepth.At(positionMm),
        };
    }
}

/// <summary>A tree cut across on one side: where its surface and, a panel's thickness off it, the panel's lower face lie.</summary>
internal readonly ref struct TreeCut
{
    private const double SlopeReach = .1;

    public required double PositionMm { get; init; }

    /// <summary>Where the sections around the cut lie, at most four.</summary>
    public required ReadOnlySpan<double> Positions { get; init; }

    public required ReadOnlySpan<PointMm[]> Surfaces { get; init; }

    /// <summary>Breadth of each of the surfaces, mm.</summary>
    public required ReadOnlySpan<double> BreadthsMm { get; init; }

    public required double ChannelHalfMm { get; init; }

    public required double BearingMm { get; init; }

    public required double InnerDepthMm { get; init; }

    /// <summary>The panel's lower face at a share of the bearing surface: the tree's surface moved along its normal, which points inward and down.</summary>
    /// <param name="share">0 at the inner edge, 1 at the outer.</param>
    /// <param name="thicknessMm">Thickness of the panel, mm.</param>
    /// <returns>X = distance from the middle, mm; Y = depth below the datum, mm.</returns>
    public PointMm Face(double share, double thicknessMm)
    {
        var (low, high) = (Math.Max(0, share - SlopeReach), Math.Min(1, share + SlopeReach));
        var slope = (Drop(high) - Drop(low)) / ((high - low) * BearingMm);
        var length = Math.Sqrt(1 + (slope * slope));
        return new PointMm(
            ChannelHalfMm + (share * BearingMm) - (thicknessMm * slope / length), InnerDepthMm + Drop(share) + (thicknessMm / length));
    }

    private double Drop(double share)
    {
        Span<double> drops = stackalloc double[4];
        for (var i = 0; i < Surfaces.Length; i++)
            drops[i] = DropOf(Surfaces[i], share * BreadthsMm[i]);
        return MonotoneCubic.Once(Positions, drops[..Surfaces.Length], PositionMm);
    }

    /// <summary>Depth of a surface below its inner edge, so far out from there; beyond its points as at them.</summary>
    private static double DropOf(PointMm[] surface, double outMm)
    {
        if (outMm <= surface[0].X)
            return surface[0].Y;
        if (outMm >= surface[^1].X)
            return surface[^1].Y;
        var i = 1;
        while (surface[i].X < outMm)
            i++;
        var (a, b) = (surface[i - 1], surface[i]);
        return a.Y + ((b.Y - a.Y) * (outMm - a.X) / (b.X - a.X));
    }
}
