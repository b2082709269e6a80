using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
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
    private const double StillCoveredMm = 30;
    private const int Points = 65;
    private const double LevelMm = 1e-6;

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
        var comparisons = new List<StationComparison>();
        for (var i = 0; i < back.Stations.Count; i++)
        {
            var position = back.Stations[i].PositionMm;
            var covered = Math.Clamp(position, tree.FrontMm, tree.RearMm);
            if (Math.Abs(position - covered) <= StillCoveredMm)
                comparisons.Add(At(back.Stations[i], i, tree, panel, covered));
        }
        return comparisons;
    }

    private static StationComparison At(BackStation station, int index, TreeShape tree, Panel panel, double treePositionMm)
    {
        var (left, right) = (Face(Side.Left, tree, panel, treePositionMm), Face(Side.Right, tree, panel, treePositionMm));
        var lower = .5 * (station.Left.DepthAt(left[0].X) - left[0].Y + station.Right.DepthAt(right[0].X) - right[0].Y);
        var inner = Math.Max(left[0].Y, right[0].Y) + lower;
        var outer = Math.Min(left[^1].Y, right[^1].Y) + lower;
        var (upperDepth, lowerDepth) = (Used(30, inner, outer), Used(150, inner, outer));
        var slopes = outer - inner >= LevelMm;
        return new StationComparison(
            index, inner, outer, upperDepth, lowerDepth,
            Compare(left, station.Left, tree.ChannelHalfAt(Side.Left, treePositionMm)), Compare(right, station.Right, tree.ChannelHalfAt(Side.Right, treePositionMm)));

        SideComparison Compare(PointMm[] face, HalfSection back, double channelHalfMm) => new(
            slopes ? Mismatch(face, lower, back, upperDepth) : null, slopes ? Mismatch(face, lower, back, lowerDepth) : null,
            AngleOf(face), AngleMismatch(face, back), channelHalfMm);
    }

    private static PointMm[] Face(Side side, TreeShape tree, Panel panel, double positionMm)
    {
        var cut = tree.CutAt(side, positionMm);
        var thickness = panel.Of(side).At((positionMm - tree.FrontMm) / tree.LengthMm);
        return [.. Enumerable.Range(0, Points).Select(i => cut.Face(i / (Points - 1.0), thickness))];
    }

    // The nearest depth that the face has on both sides: a surface is never extrapolated.
    private static double Used(double depthMm, double innerMm, double outerMm) => Math.Min(Math.Max(depthMm, innerMm), outerMm);

    private static double? Mismatch(PointMm[] face, double lowerMm, HalfSection back, double depthMm)
    {
        var offset = back.OffsetAt(depthMm);
        return double.IsNaN(offset) ? null : OffsetOf(face, depthMm - lowerMm) - offset;
    }

    private static double OffsetOf(PointMm[] face, double depthMm)
    {
        if (Math.Abs(depthMm - face[0].Y) < 1e-9)
            return face[0].X;
        for (var i = 0; i < face.Length - 1; i++)
        {
            var (a, b) = (face[i], face[i + 1]);
            if ((a.Y - depthMm) * (b.Y - depthMm) <= 0 && a.Y != b.Y)
                return a.X + ((b.X - a.X) * (depthMm - a.Y) / (b.Y - a.Y));
        }
        return face[^1].X;
    }

    private static double? AngleMismatch(PointMm[] face, HalfSection back)
    {
        PointMm[] under = [.. face.Select(point => new PointMm(point.X, back.DepthAt(point.X)))];
        return under.Any(point => double.IsNaN(point.Y)) ? null : AngleOf(face) - AngleOf(under);
    }

    private static double AngleOf(PointMm[] points)
    {
        var (x, y) = (points.Average(point => point.X), points.Average(point => point.Y));
        var slope = points.Sum(point => (point.X - x) * (point.Y - y)) / points.Sum(point => (point.X - x) * (point.X - x));
        return double.RadiansToDegrees(Math.Atan(slope));
    }
}
