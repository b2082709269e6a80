using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>
/// What lies between panel and skin before the saddle is put down: depth of the skin less depth of the panel's face at every patch
/// under which the back is known, mm.
/// </summary>
public sealed class GapField
{
    private const double MostUnknown = .10;

    /// <summary>Gaps that are known already; they may be changed.</summary>
    internal GapField(PanelPatches patches, double[] gapMm) => (Patches, GapMm, Known) = (patches, gapMm, gapMm.Count(gap => !double.IsNaN(gap)));

    /// <summary>The patches of the panel, unknown ones among them.</summary>
    public PanelPatches Patches { get; }

    /// <summary>How many patches the back is known under.</summary>
    public int Known { get; }

    /// <summary>Gap of every patch; NaN where the back is not known.</summary>
    internal double[] GapMm { get; }

    /// <summary>Lays the panel over a back.</summary>
    /// <exception cref="GeometryException">The back is unknown under more than a tenth of the panel.</exception>
    public static GapField Over(BackShape back, PanelPatches patches)
    {
        ArgumentNullException.ThrowIfNull(back);
        ArgumentNullException.ThrowIfNull(patches);
        var gaps = new double[patches.Count];
        var inStrip = patches.Count / patches.Strips;
        for (var start = 0; start < gaps.Length; start += inStrip)
        {
            var cut = back.CutAt(patches.PositionMm[start]);
            for (var i = start; i < start + inStrip; i++)
                gaps[i] = cut.DepthAt(patches.Side[i], Math.Abs(patches.LateralMm[i])) - patches.FaceDepthMm[i];
        }
        var field = new GapField(patches, gaps);
        return gaps.Length - field.Known <= MostUnknown * gaps.Length
            ? field
            : throw new GeometryException(FitFault.ProfileTooNarrowForTree);
    }

    /// <summary>The smallest gap of each strip of a side, front to rear; strips without a known patch are left out.</summary>
    /// <param name="side">The side.</param>
    /// <param name="positionsMm">Takes the position of each, mm from T8.</param>
    /// <param name="gapsMm">Takes the gap of each, mm.</param>
    /// <returns>How many there are.</returns>
    internal int StripGaps(Side side, Span<double> positionsMm, Span<double> gapsMm)
    {
        var (cells, strips) = (GapMm.Length / (2 * Patches.Strips), 0);
        for (var start = side == Side.Left ? 0 : cells; start < GapMm.Length; start += 2 * cells)
        {
            var least = double.PositiveInfinity;
            // An unknown gap compares as false.
            foreach (var gap in GapMm.AsSpan(start, cells))
                least = gap < least ? gap : least;
            if (least < double.PositiveInfinity)
                (positionsMm[strips], gapsMm[strips++]) = (Patches.PositionMm[start], least);
        }
        return strips;
    }
}
