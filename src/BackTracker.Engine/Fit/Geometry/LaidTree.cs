using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>
/// A tree with its panel, ready to be laid on backs whose sections lie at the same places: all that does not hang on the shape of the
/// back is worked out once.
/// </summary>
public sealed class LaidTree
{
    private readonly double[] sectionsMm;

    private LaidTree(BackShape back, TreeShape tree, Panel panel, FitSetting setting)
    {
        (Tree, Panel, Setting) = (tree, panel, setting);
        sectionsMm = [.. back.Stations.Select(station => station.PositionMm)];
        Patches = PanelPatches.Of(tree, panel, setting.Size);
        Faces = SectionFaces.Over(back, tree, panel);
        EdgesMm = [.. Enumerable.Range(0, Patches.Strips + 1).Select(i => tree.FrontMm + (tree.LengthMm * i / Patches.Strips))];
        RoofsMm = [.. EdgesMm.Select(tree.RoofAt)];
        LeftChannelClearanceMm = EdgesMm.Min(at => tree.ChannelHalfAt(Side.Left, at)) - setting.SpinousHalfMm;
        RightChannelClearanceMm = EdgesMm.Min(at => tree.ChannelHalfAt(Side.Right, at)) - setting.SpinousHalfMm;
    }

    /// <summary>The tree.</summary>
    public TreeShape Tree { get; }

    /// <summary>Its panel.</summary>
    public Panel Panel { get; }

    /// <summary>What it was made ready with.</summary>
    public FitSetting Setting { get; }

    /// <summary>Its panel in patches.</summary>
    public PanelPatches Patches { get; }

    /// <summary>The panel's face over every section it covers.</summary>
    internal SectionFaces[] Faces { get; }

    /// <summary>Edges of the strips, front to rear, mm from T8.</summary>
    internal double[] EdgesMm { get; }

    /// <summary>Depth of the channel's roof at each of them.</summary>
    internal double[] RoofsMm { get; }

    internal double LeftChannelClearanceMm { get; }

    internal double RightChannelClearanceMm { get; }

    /// <summary>Makes a tree with its panel ready.</summary>
    /// <param name="back">A back with its sections at the places they will have.</param>
    /// <param name="tree">The tree.</param>
    /// <param name="panel">Its panel.</param>
    /// <param name="setting">Seat, spine and size of the patches.</param>
    /// <exception cref="GeometryException">The panel's face folds over itself or crosses the middle.</exception>
    public static LaidTree For(BackShape back, TreeShape tree, Panel panel, FitSetting setting)
    {
        ArgumentNullException.ThrowIfNull(back);
        ArgumentNullException.ThrowIfNull(tree);
        return new LaidTree(back, tree, panel, setting);
    }

    /// <summary>Room between the channel's roof and the skin over the midline at every edge of a strip, front to rear.</summary>
    internal Clearance[] ClearancesOver(BackShape back, Pose pose)
    {
        var clearances = new Clearance[EdgesMm.Length];
        for (var i = 0; i < clearances.Length; i++)
            clearances[i] = new Clearance(EdgesMm[i], back.TopAt(EdgesMm[i]) - RoofsMm[i] - pose.DropAt(EdgesMm[i] - Patches.MidMm, 0));
        return clearances;
    }

    /// <summary>Whether a place lies under the front arch, which stands over the first sixth of the tree.</summary>
    internal bool IsUnderTheArch(Clearance place) => place.AtMm <= Tree.FrontMm + (Tree.LengthMm / 6);

    /// <summary>Refuses a back that has its sections at other places.</summary>
    internal void Expect(BackShape back)
    {
        var same = back.Stations.Count == sectionsMm.Length;
        for (var i = 0; same && i < sectionsMm.Length; i++)
            same = back.Stations[i].PositionMm == sectionsMm[i];
        if (!same)
            throw new ArgumentException("The tree was made ready for sections at other places.", nameof(back));
    }
}
