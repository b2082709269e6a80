using BackTracker.Engine.Assessments;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>Where panel and skin do not meet along a side, however the saddle is placed.</summary>
/// <param name="MostMm">Largest gap, mm.</param>
/// <param name="LengthMm">Length with a gap of more than 3 mm, mm.</param>
/// <param name="AtShare">Where it is largest, as a share of the tree's length from its front edge.</param>
public readonly record struct BridgingGap(double MostMm, double LengthMm, double AtShare)
{
    private const double BridgingFromMm = 3;

    /// <summary>Gaps of a side above their greatest convex minorant: where and how the tree is placed does not change them.</summary>
    internal static BridgingGap Of(GapField field, Side side)
    {
        var patches = field.Patches;
        Span<double> positions = stackalloc double[patches.Strips], gaps = stackalloc double[patches.Strips], touching = stackalloc double[patches.Strips];
        var strips = field.StripGaps(side, positions, gaps);
        if (strips == 0)
            return default;
        ConvexMinorant.Of(positions[..strips], gaps[..strips], touching);
        var (most, at, bridged) = (0.0, positions[0], 0);
        for (var i = 0; i < strips; i++)
        {
            var gap = gaps[i] - touching[i];
            if (gap > most)
                (most, at) = (gap, positions[i]);
            bridged += gap > BridgingFromMm ? 1 : 0;
        }
        return new BridgingGap(most, bridged * patches.StripMm, .5 + ((at - patches.MidMm) / patches.LengthMm));
    }
}
