using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>
/// What lies between panel and skin before the saddle is put down: depth of the skin less depth of the panel's face at every patch
/// under which the back is known, mm.
/// </summary>
public sealed class GapField
{
    private const double MostUnknown = .10;

    private GapField(PanelPatches patches, double[] gapMm, int known) => (Patches, GapMm, Known) = (patches, gapMm, known);

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
        var (gaps, known) = (new double[patches.Count], 0);
        var inStrip = patches.Count / patches.Strips;
        for (var start = 0; start < gaps.Length; start += inStrip)
        {
            var cut = back.CutAt(patches.PositionMm[start]);
            for (var i = start; i < start + inStrip; i++)
            {
                gaps[i] = cut.DepthAt(patches.Side[i], Math.Abs(patches.LateralMm[i])) - patches.FaceDepthMm[i];
                known += double.IsNaN(gaps[i]) ? 0 : 1;
            }
        }
        return gaps.Length - known <= MostUnknown * gaps.Length
            ? new GapField(patches, gaps, known)
            : throw new GeometryException(FitFault.ProfileTooNarrowForTree);
    }

    /// <summary>The smallest gap of each strip of a side, front to rear: position (mm from T8) and gap (mm); strips without a known patch are left out.</summary>
    public (double[] PositionsMm, double[] GapsMm) StripGaps(Side side)
    {
        var (positions, gaps, strips) = (new double[Patches.Strips], new double[Patches.Strips], 0);
        for (var i = 0; i < GapMm.Length; i++)
        {
            if (Patches.Side[i] != side || double.IsNaN(GapMm[i]))
                continue;
            var position = Patches.PositionMm[i];
            if (strips == 0 || position > positions[strips - 1])
                (positions[strips], gaps[strips++]) = (position, GapMm[i]);
            else
                gaps[strips - 1] = Math.Min(gaps[strips - 1], GapMm[i]);
        }
        return (positions[..strips], gaps[..strips]);
    }
}
