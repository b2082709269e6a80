using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;

namespace BackTracker.Engine.Tests.Fit.Geometry;

/// <summary>A flank by formula, falling outwards; by halving where a depth is asked for.</summary>
internal sealed class DrawnHalf(Func<double, double> depthAt, double reachMm = 400) : HalfSection
{
    public override double DepthAt(double offsetMm) => offsetMm >= 0 && offsetMm <= reachMm ? depthAt(offsetMm) : double.NaN;

    public override double OffsetAt(double depthMm)
    {
        if (!(depthMm >= 0 && depthMm <= depthAt(reachMm)))
            return double.NaN;
        var (low, high) = (0.0, reachMm);
        while (high - low > 1e-12)
        {
            var middle = .5 * (low + high);
            (low, high) = depthAt(middle) < depthMm ? (middle, high) : (low, middle);
        }
        return high;
    }
}

/// <summary>Invented backs and trees whose fit is known on paper. Trees run from -60 to 360 mm: 21 strips of 20 mm.</summary>
internal static class Shapes
{
    public const double FrontMm = -60;
    public const double RearMm = 360;
    public const double LengthMm = RearMm - FrontMm;
    public const double MidMm = .5 * (FrontMm + RearMm);

    public static double Tan(double degrees) => Math.Tan(double.DegreesToRadians(degrees));

    public static double Cos(double degrees) => Math.Cos(double.DegreesToRadians(degrees));

    /// <summary>A straight flank.</summary>
    public static HalfSection Roof(double angleDeg, double reachMm = 400) => new DrawnHalf(offset => offset * Tan(angleDeg), reachMm);

    /// <summary>A flank that steepens outwards: a parabola of a radius over the midline.</summary>
    public static HalfSection Round(double radiusMm) => new DrawnHalf(offset => offset * offset / (2 * radiusMm));

    public static BackShape Back(HalfSection left, HalfSection right, Func<double, double>? topline = null) => new(
        [new BackStation(0, left, right), new BackStation(200, left, right), new BackStation(440, left, right)],
        topline is null ? [] : [.. Enumerable.Range(-20, 90).Select(i => new PointMm(10 * i, topline(10.0 * i)))]);

    /// <summary>The same sections all along.</summary>
    public static TreeShape Tree(TreeSide left, TreeSide right, Func<double, double>? innerDepth = null) => new(
    [
        .. new[] { FrontMm, 60, 200, RearMm }.Select(at => new TreeStation(
            at, 50, Lowered(left, innerDepth?.Invoke(at) ?? 0), Lowered(right, innerDepth?.Invoke(at) ?? 0))),
    ]);

    public static TreeShape FlatTree(double angleDeg = 30, double channelHalfMm = 40, double bearingMm = 80) =>
        Tree(TreeSide.Flat(channelHalfMm, bearingMm, 0, angleDeg), TreeSide.Flat(channelHalfMm, bearingMm, 0, angleDeg));

    public static Panel EvenPanel(double mm) => new(ZoneThickness.Even(mm), ZoneThickness.Even(mm));

    public static TreeShape Mirrored(TreeShape tree) => new([.. tree.Stations.Select(station => station with { Left = station.Right, Right = station.Left })]);

    public static BackStation Mirrored(BackStation station) => new(station.PositionMm, station.Right, station.Left);

    public static FitFault FaultOf(Func<object> lay) => Assert.Throws<GeometryException>(lay).Fault;

    private static TreeSide Lowered(TreeSide side, double mm) => side with { InnerDepthMm = side.InnerDepthMm + mm };
}
