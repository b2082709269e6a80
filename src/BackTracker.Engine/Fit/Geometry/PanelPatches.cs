using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>How finely the panel is divided.</summary>
/// <param name="StripMm">Length of a strip along the tree, about, mm.</param>
/// <param name="CellsPerSide">Cells of a strip from inner to outer edge, on each side.</param>
public readonly record struct PatchSize(double StripMm, int CellsPerSide)
{
    /// <summary>20 mm by 8 cells, about a pressure sensor's: on a crooked tree and back the resting position lies within .4 mm, .05 degrees of pitch and .3 of roll of the smooth panel's.</summary>
    public static PatchSize Usual => new(20, 8);
}

/// <summary>
/// The panel's lower face cut into patches: where they lie, without a back. The number of strips is a multiple of three, so that thirds
/// of the length are whole strips.
/// </summary>
public sealed class PanelPatches
{
    private Support? support;

    private PanelPatches(TreeShape tree, int strips, int count)
    {
        (Strips, StripMm, MidMm, LengthMm) = (strips, tree.LengthMm / strips, .5 * (tree.FrontMm + tree.RearMm), tree.LengthMm);
        (PositionMm, BehindMiddleMm, LateralMm, FaceDepthMm, AreaMm2) = (new double[count], new double[count], new double[count], new double[count], new double[count]);
        Side = new Side[count];
    }

    /// <summary>Number of strips.</summary>
    public int Strips { get; }

    /// <summary>Length of a strip, mm.</summary>
    public double StripMm { get; }

    /// <summary>Middle of the tree, mm from T8.</summary>
    public double MidMm { get; }

    /// <summary>Length of the tree, mm.</summary>
    public double LengthMm { get; }

    /// <summary>Patches on both sides.</summary>
    public int Count => PositionMm.Length;

    /// <summary>What carries the saddle where the back is known under all of it.</summary>
    internal Support WholeSupport => support ??= Support.Of(this, new double[Count]);

    internal double[] PositionMm { get; }

    internal double[] BehindMiddleMm { get; }

    /// <summary>+ = right.</summary>
    internal double[] LateralMm { get; }

    internal double[] FaceDepthMm { get; }

    /// <summary>Area seen from above.</summary>
    internal double[] AreaMm2 { get; }

    internal Side[] Side { get; }

    /// <summary>Cuts the panel of a tree into patches.</summary>
    /// <exception cref="GeometryException">The face folds over itself or crosses the middle.</exception>
    public static PanelPatches Of(TreeShape tree, Panel panel, PatchSize size)
    {
        ArgumentNullException.ThrowIfNull(tree);
        var strips = 3 * Math.Max(1, (int)Math.Floor((tree.LengthMm / (3 * size.StripMm)) + .5));
        var patches = new PanelPatches(tree, strips, strips * 2 * size.CellsPerSide);
        var next = 0;
        for (var strip = 0; strip < strips; strip++)
        {
            foreach (var side in (ReadOnlySpan<Side>)[Assessments.Side.Left, Assessments.Side.Right])
                next = patches.Cut(tree, panel, strip, side, size.CellsPerSide, next);
        }
        return patches;
    }

    private int Cut(TreeShape tree, Panel panel, int strip, Side side, int cells, int next)
    {
        var share = (strip + .5) / Strips;
        var cut = tree.CutAt(side, tree.FrontMm + (share * tree.LengthMm));
        var thickness = panel.Of(side).At(share);
        var sign = side == Assessments.Side.Left ? -1 : 1;
        var edge = Checked(cut.Face(0, thickness));
        for (var cell = 0; cell < cells; cell++, next++)
        {
            var outer = Checked(cut.Face((cell + 1.0) / cells, thickness));
            if (outer.X <= edge.X)
                throw new GeometryException(FitFault.TreeGeometryInvalid);
            var centre = Checked(cut.Face((cell + .5) / cells, thickness));
            (PositionMm[next], LateralMm[next], FaceDepthMm[next]) = (tree.FrontMm + (share * tree.LengthMm), sign * centre.X, centre.Y);
            BehindMiddleMm[next] = PositionMm[next] - MidMm;
            (AreaMm2[next], Side[next]) = ((outer.X - edge.X) * StripMm, side);
            edge = outer;
        }
        return next;
    }

    private static PointMm Checked(PointMm foot) => foot.X >= 0 ? foot : throw new GeometryException(FitFault.TreeGeometryInvalid);
}
