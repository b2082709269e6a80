using BackTracker.Engine.Profiles;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>One side of a panel held against a section.</summary>
/// <param name="HalfMismatch30Mm">Panel face less back at the upper depth compared, mm; null where one is not known.</param>
/// <param name="HalfMismatch150Mm">The same at the lower depth.</param>
/// <param name="TreeAngleDeg">Slope of the panel face, degrees below the horizontal.</param>
/// <param name="AngleMismatchDeg">Panel face less back over the same offsets, degrees, + = panel steeper; null where the section does not reach.</param>
/// <param name="ChannelHalfMm">From the middle to the tree's inner edge, mm.</param>
public readonly record struct SideComparison(
    double? HalfMismatch30Mm, double? HalfMismatch150Mm, double TreeAngleDeg, double? AngleMismatchDeg, double ChannelHalfMm);

/// <summary>
/// Panel against one section: the panel's lower face is lowered, without tilting it, until the mean of its two inner edges is on the
/// skin, and half widths are compared at 30 and 150 mm below the midline, or at the nearest depth that the face has on both sides. The
/// panel's face and not the tree is compared with the skin: the bare tree would read a whole fitting wide.
/// </summary>
/// <param name="Station">Index of the section.</param>
/// <param name="InnerEdgeDepthMm">Depth of the deeper inner edge below the skin over the midline, mm.</param>
/// <param name="OuterEdgeDepthMm">Depth of the shallower outer edge, mm.</param>
/// <param name="DepthUsed30Mm">Upper depth compared, mm.</param>
/// <param name="DepthUsed150Mm">Lower depth compared, mm.</param>
/// <param name="Left">Left side.</param>
/// <param name="Right">Right side.</param>
public sealed record StationComparison(
    int Station, double InnerEdgeDepthMm, double OuterEdgeDepthMm, double DepthUsed30Mm, double DepthUsed150Mm, SideComparison Left, SideComparison Right)
{
    private const double LevelMm = 1e-6;

    /// <summary>How far the faces were lowered from the tree's datum to lie on the skin, mm.</summary>
    public double LoweredMm { get; private init; }

    /// <summary>Tree wider than the back at the upper depth, mm, + = tree wide; null where a side is not known.</summary>
    public double? WidthMismatch30Mm => Left.HalfMismatch30Mm + Right.HalfMismatch30Mm;

    /// <summary>The same at the lower depth.</summary>
    public double? WidthMismatch150Mm => Left.HalfMismatch150Mm + Right.HalfMismatch150Mm;

    /// <summary>Mean of both sides, degrees, + = panel steeper; null where a side is not known.</summary>
    public double? AngleMismatchDeg => .5 * (Left.AngleMismatchDeg + Right.AngleMismatchDeg);

    /// <summary>Width of the channel, mm.</summary>
    public double ChannelWidthMm => Left.ChannelHalfMm + Right.ChannelHalfMm;

    /// <summary>Every section under the tree, or within 30 mm of an end of it, against the tree with its panel.</summary>
    public static IReadOnlyList<StationComparison> Of(BackShape back, TreeShape tree, Panel panel)
    {
        ArgumentNullException.ThrowIfNull(back);
        ArgumentNullException.ThrowIfNull(tree);
        return Of(back, SectionFaces.Over(back, tree, panel));
    }

    /// <summary>The same with the faces already cut.</summary>
    internal static StationComparison[] Of(BackShape back, ReadOnlySpan<SectionFaces> faces)
    {
        var comparisons = new StationComparison[faces.Length];
        for (var i = 0; i < faces.Length; i++)
            comparisons[i] = Of(back.Stations[faces[i].Section], faces[i]);
        return comparisons;
    }

    private static StationComparison Of(BackStation back, SectionFaces faces)
    {
        var (left, right) = (faces.Left, faces.Right);
        var lower = .5 * (back.Left.DepthAt(left.Inner.X) - left.Inner.Y + back.Right.DepthAt(right.Inner.X) - right.Inner.Y);
        var inner = Math.Max(left.Inner.Y, right.Inner.Y) + lower;
        var outer = Math.Min(left.Outer.Y, right.Outer.Y) + lower;
        var (upperDepth, lowerDepth) = (Used(30, inner, outer), Used(150, inner, outer));
        var slopes = outer - inner >= LevelMm;
        return new StationComparison(faces.Section, inner, outer, upperDepth, lowerDepth, Compare(left, back.Left), Compare(right, back.Right)) { LoweredMm = lower };

        SideComparison Compare(PanelFace face, HalfSection half) => new(
            slopes ? Mismatch(face, lower, half, upperDepth) : null, slopes ? Mismatch(face, lower, half, lowerDepth) : null,
            face.AngleDeg, face.AngleDeg - face.AngleUnder(half), face.ChannelHalfMm);
    }

    // The nearest depth that the face has on both sides: a surface is never extrapolated.
    private static double Used(double depthMm, double innerMm, double outerMm) => Math.Min(Math.Max(depthMm, innerMm), outerMm);

    private static double? Mismatch(PanelFace face, double lowerMm, HalfSection back, double depthMm)
    {
        var offset = back.OffsetAt(depthMm);
        return double.IsNaN(offset) ? null : face.OffsetAt(depthMm - lowerMm) - offset;
    }
}
