using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>
/// What lies between panel and skin before the saddle is put down: depth of the skin less depth of the panel's face at every patch over
/// which the back is known, mm.
/// </summary>
public sealed class GapField
{
    private const double MostUnknown = .10;

    private GapField(PanelPatches patches, int count)
    {
        Patches = patches;
        (Patch, GapMm) = (new int[count], new double[count]);
    }

    /// <summary>The patches of the panel, unknown ones among them.</summary>
    public PanelPatches Patches { get; }

    /// <summary>Patches over which the back is known.</summary>
    public int Count => Patch.Length;

    /// <summary>Which patch each gap belongs to, in order.</summary>
    internal int[] Patch { get; }

    internal double[] GapMm { get; }

    /// <summary>Lays the panel over a back.</summary>
    /// <exception cref="GeometryException">The back is unknown under more than a tenth of the panel.</exception>
    public static GapField Over(BackShape back, PanelPatches patches)
    {
        ArgumentNullException.ThrowIfNull(back);
        ArgumentNullException.ThrowIfNull(patches);
        var (depths, known) = (new double[patches.Count], 0);
        for (var i = 0; i < depths.Length; i++)
        {
            depths[i] = back.DepthAt(patches.PositionMm[i], patches.Side[i], Math.Abs(patches.LateralMm[i]));
            known += double.IsNaN(depths[i]) ? 0 : 1;
        }
        if (depths.Length - known > MostUnknown * depths.Length)
            throw new GeometryException(FitFault.ProfileTooNarrowForTree);
        var field = new GapField(patches, known);
        for (var (i, next) = (0, 0); i < depths.Length; i++)
        {
            if (!double.IsNaN(depths[i]))
                (field.Patch[next], field.GapMm[next++]) = (i, depths[i] - patches.FaceDepthMm[i]);
        }
        return field;
    }

    /// <summary>The smallest gap of each strip of a side, front to rear: position (mm from T8) and gap (mm); strips without a known patch are left out.</summary>
    public (double[] PositionsMm, double[] GapsMm) StripGaps(Side side)
    {
        var smallest = new double[Patches.Strips];
        Array.Fill(smallest, double.PositiveInfinity);
        for (var i = 0; i < Count; i++)
        {
            if (Patches.Side[Patch[i]] == side)
                smallest[Patches.Strip[Patch[i]]] = Math.Min(smallest[Patches.Strip[Patch[i]]], GapMm[i]);
        }
        int[] there = [.. Enumerable.Range(0, smallest.Length).Where(strip => double.IsFinite(smallest[strip]))];
        var front = Patches.MidMm - (.5 * Patches.LengthMm);
        return ([.. there.Select(strip => front + ((strip + .5) * Patches.StripMm))], [.. there.Select(strip => smallest[strip])]);
    }
}
