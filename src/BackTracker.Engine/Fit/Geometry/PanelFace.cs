using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>The lower face of a panel cut across at one place on one side: 65 points from the inner edge outwards.</summary>
internal sealed class PanelFace
{
    private const int Points = 65;
    private readonly PointMm[] points;
    private readonly double middleMm;
    private readonly double spreadMm2;

    /// <summary>The face at a place.</summary>
    public PanelFace(TreeShape tree, Panel panel, Side side, double positionMm)
    {
        var cut = tree.CutAt(side, positionMm);
        var thickness = panel.Of(side).At((positionMm - tree.FrontMm) / tree.LengthMm);
        points = new PointMm[Points];
        for (var i = 0; i < Points; i++)
            points[i] = cut.Face(i / (Points - 1.0), thickness);
        middleMm = points.Average(point => point.X);
        spreadMm2 = points.Sum(point => (point.X - middleMm) * (point.X - middleMm));
        AngleDeg = AngleOf(points.Sum(point => (point.X - middleMm) * point.Y));
        ChannelHalfMm = cut.ChannelHalfMm;
    }

    public PointMm Inner => points[0];

    public PointMm Outer => points[^1];

    /// <summary>From the middle to the tree's inner edge, mm.</summary>
    public double ChannelHalfMm { get; }

    /// <summary>Angle of the least-squares line through the points, degrees below the horizontal.</summary>
    public double AngleDeg { get; }

    /// <summary>Its points from the inner edge outwards, as deep as it lies once lowered, mm from the midline.</summary>
    public IReadOnlyList<PointMm> LoweredBy(double mm) => [.. points.Select(point => point with { Y = point.Y + mm })];

    /// <summary>Angle of the least-squares line of a section through its depths at the offsets of the points, degrees; null where it does not reach them all.</summary>
    public double? AngleUnder(HalfSection back)
    {
        var sum = 0.0;
        foreach (var point in points)
            sum += (point.X - middleMm) * back.DepthAt(point.X);
        return double.IsNaN(sum) ? null : AngleOf(sum);
    }

    /// <summary>How far from the middle it lies at a depth between its edges; where it comes back, the place met first, mm.</summary>
    /// <param name="depthMm">Depth below the tree's datum, mm.</param>
    public double OffsetAt(double depthMm)
    {
        if (Math.Abs(depthMm - points[0].Y) < 1e-9)
            return points[0].X;
        for (var i = 0; i < points.Length - 1; i++)
        {
            var (a, b) = (points[i], points[i + 1]);
            if ((a.Y - depthMm) * (b.Y - depthMm) <= 0 && a.Y != b.Y)
                return a.X + ((b.X - a.X) * (depthMm - a.Y) / (b.Y - a.Y));
        }
        return points[^1].X;
    }

    // Deviations from the middle sum to zero: the mean depth has no say in the slope.
    private double AngleOf(double sumOfProducts) => double.RadiansToDegrees(Math.Atan(sumOfProducts / spreadMm2));
}

/// <summary>Both faces of a panel over a section of the back.</summary>
/// <param name="Section">Index of the section.</param>
/// <param name="Left">Left face.</param>
/// <param name="Right">Right face.</param>
internal readonly record struct SectionFaces(int Section, PanelFace Left, PanelFace Right)
{
    private const double StillCoveredMm = 30;

    /// <summary>The faces over every section under the tree, or within 30 mm of an end of it, front to rear.</summary>
    public static SectionFaces[] Over(BackShape back, TreeShape tree, Panel panel)
    {
        var faces = new List<SectionFaces>(back.Stations.Count);
        for (var i = 0; i < back.Stations.Count; i++)
        {
            var position = back.Stations[i].PositionMm;
            var covered = Math.Clamp(position, tree.FrontMm, tree.RearMm);
            if (Math.Abs(position - covered) <= StillCoveredMm)
                faces.Add(new SectionFaces(i, new PanelFace(tree, panel, Side.Left, covered), new PanelFace(tree, panel, Side.Right, covered)));
        }
        return [.. faces];
    }
}
