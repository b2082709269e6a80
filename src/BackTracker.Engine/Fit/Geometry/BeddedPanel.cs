using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>A force that presses a saddle down.</summary>
/// <param name="ForceN">How strong, N; negative lifts.</param>
/// <param name="At">Where it acts: X = mm from T8, Y = lateral mm, + = right.</param>
public readonly record struct DownwardForce(double ForceN, PointMm At);

/// <summary>
/// A panel over a back, ready to be pressed down: gaps, and how steep the skin lies under every patch. A patch is pressed along the normal
/// of the skin, so that a mm of approach shortens the panel by the cosine of its slope.
/// </summary>
public sealed class BeddedPanel
{
    private const double AcrossMm = 5;
    private const double AlongMm = 10;
    private const double LeastMarginMm = 1;
    private readonly BackShape back;
    private readonly LaidTree laid;
    private readonly double[] cosines;

    private BeddedPanel(BackShape back, LaidTree laid, GapField field, double[] cosines) => (this.back, this.laid, Field, this.cosines) = (back, laid, field, cosines);

    /// <summary>Gaps between panel and skin before the saddle is put down.</summary>
    public GapField Field { get; }

    /// <summary>Lays a tree with its panel over a back.</summary>
    /// <exception cref="GeometryException">The back is unknown under more than a tenth of the panel.</exception>
    public static BeddedPanel Over(BackShape back, LaidTree laid)
    {
        ArgumentNullException.ThrowIfNull(back);
        ArgumentNullException.ThrowIfNull(laid);
        laid.Expect(back);
        return new BeddedPanel(back, laid, GapField.Over(back, laid.Patches), CosinesUnder(back, laid.Patches));
    }

    /// <summary>The panel of a tree that follows this very back, in the same places: it leaves no gap anywhere.</summary>
    public BeddedPanel Conforming() => new(back, laid, new GapField(laid.Patches, [.. Field.GapMm.Select(gap => double.IsNaN(gap) ? double.NaN : 0)]), cosines);

    /// <summary>The saddle under forces: it sinks, pitches and rolls until panel and forces balance.</summary>
    /// <param name="stiffnessKPaPerMm">Pressure for each mm by which the panel is pressed together, over 0, kPa/mm.</param>
    /// <param name="forces">What presses it down.</param>
    /// <exception cref="GeometryException">Together they lift it, or act outside what carries it or less than 1 mm inside.</exception>
    public LoadedSaddle Under(double stiffnessKPaPerMm, IReadOnlyList<DownwardForce> forces)
    {
        ArgumentNullException.ThrowIfNull(forces);
        var force = forces.Sum(one => one.ForceN);
        if (!(force > 0))
            throw new GeometryException(FitFault.NoLoad);
        var at = new PointMm(forces.Sum(one => one.ForceN * one.At.X) / force, forces.Sum(one => one.ForceN * one.At.Y) / force);
        if (Support.Of(laid.Patches, Field.GapMm).DepthInside(at) < LeastMarginMm)
            throw new GeometryException(FitFault.LoadOutsideSupport);
        // kPa are mN/mm2.
        double[] springs = [.. cosines.Select((cosine, patch) => 1e-3 * stiffnessKPaPerMm * cosine * laid.Patches.AreaMm2[patch])];
        var pose = new ContactSolver(Field, springs).Solve(force, at.X - laid.Patches.MidMm, at.Y);
        return new LoadedSaddle(laid, Field, cosines, stiffnessKPaPerMm, pose) { Clearances = laid.ClearancesOver(back, pose) };
    }

    private static double[] CosinesUnder(BackShape back, PanelPatches patches)
    {
        var (cosines, inStrip) = (new double[patches.Count], patches.Count / patches.Strips);
        for (var start = 0; start < cosines.Length; start += inStrip)
        {
            var at = patches.PositionMm[start];
            var here = back.CutAt(at);
            var before = back.CutAt(at - AlongMm);
            var after = back.CutAt(at + AlongMm);
            for (var patch = start; patch < start + inStrip; patch++)
            {
                var (side, offset) = (patches.Side[patch], Math.Abs(patches.LateralMm[patch]));
                var across = AcrossAt(here, side, offset);
                var along = (after.DepthAt(side, offset) - before.DepthAt(side, offset)) / (2 * AlongMm);
                cosines[patch] = 1 / Math.Sqrt(1 + (across * across) + (double.IsNaN(along) ? 0 : along * along));
            }
        }
        return cosines;
    }

    private static double AcrossAt(BackCut cut, Side side, double offsetMm)
    {
        var (near, far) = (Math.Max(offsetMm - AcrossMm, 0), offsetMm + AcrossMm);
        var outer = cut.DepthAt(side, far);
        if (double.IsNaN(outer))
            (far, outer) = (offsetMm, cut.DepthAt(side, offsetMm));
        return (outer - cut.DepthAt(side, near)) / (far - near);
    }
}
