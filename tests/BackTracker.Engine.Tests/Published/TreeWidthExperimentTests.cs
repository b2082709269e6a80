using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Published;

/// <summary>
/// Horses ridden in saddles one fitting wide, right and one narrow (MacKechnie-Guire et al. 2019, Animals 9:842, doi 10.3390/ani9100842): the wide
/// tree sat down in front and pressed more there, the narrow one stood up in front and pressed more behind (simple summary and caption of figure 10;
/// the front peak of the wide one +8.5 % at trot, second-hand). One fitting is 10 degrees between the sides. The same is done here to an invented tree
/// that follows an invented back, with the rider in one place: turned about its arch or its inner edges, at its front or over its front half, by half a
/// fitting and a whole one, on panels from 0.7 to 3 kPa/mm: 40 ways.
/// </summary>
public class TreeWidthExperimentTests
{
    private const double FrontHalf = .5;
    private const double FrontOnly = 1e-9;
    private static readonly double[] Stiffnesses = [.7, 1, 1.5, 2, 3];
    private static readonly BackShape Back = BackOf(new HorseTrends(TracedHorse.Settled, TrendModel.Shipped));
    private static readonly TreeShapeFact Made = TracedHorse.Tree("t", Larkfield.Today);

    public static TheoryData<double, bool, double, double> Ways() => new(
        from stiffness in Stiffnesses from aboutArch in new[] { true, false } from length in new[] { FrontOnly, FrontHalf } from degrees in new[] { 2.5, 5 } select (stiffness, aboutArch, length, degrees));

    [Theory]
    [MemberData(nameof(Ways))]
    public void Under_rider_wide_tree_sits_down_in_front_and_presses_more_there_than_behind(double stiffness, bool aboutArch, double length, double degrees)
    {
        var (front, rear) = Rises(stiffness, aboutArch, length, degrees, out var pitchDeg);

        Assert.True(front > 0 && front > rear, $"front {front:P0}, rear {rear:P0}");
        Assert.True(pitchDeg < 0, $"pitch {pitchDeg}");
    }

    [Theory]
    [MemberData(nameof(Ways))]
    public void Under_rider_narrow_tree_stands_up_in_front(double stiffness, bool aboutArch, double length, double degrees)
    {
        _ = Rises(stiffness, aboutArch, length, -degrees, out var pitchDeg);

        Assert.True(pitchDeg > 0, $"pitch {pitchDeg}");
    }

    // What the model does not repeat: a narrow tree stands on its tips in front too, and a rider who stays in one place does not lean back with it.
    [Fact]
    public void Under_rider_narrow_tree_presses_more_behind_than_in_front_in_some_ways_only()
    {
        var ways = Ways().Select(way => way.Data).ToList();

        var repeated = ways.Count(way => Rises(way.Item1, way.Item2, way.Item3, -way.Item4, out _) is var (front, rear) && rear > 0 && rear > front);

        Assert.Equal((40, 6), (ways.Count, repeated));
    }

    private static (double Front, double Rear) Rises(double stiffness, bool aboutArch, double length, double degrees, out double pitchDeg)
    {
        var (right, turned) = (Loaded(stiffness, 0, length, aboutArch), Loaded(stiffness, degrees, length, aboutArch));
        pitchDeg = turned.Pose.PitchDeg - right.Pose.PitchDeg;
        return (turned.Of(Zone.Front).PeakKPa / right.Of(Zone.Front).PeakKPa - 1, turned.Of(Zone.Rear).PeakKPa / right.Of(Zone.Rear).PeakKPa - 1);
    }

    private static LoadedSaddle Loaded(double stiffness, double degrees, double length, bool aboutArch)
    {
        var tree = new TreeShape([.. Made.Stations.Select(station => Turned(station, degrees * Math.Max(0, 1 - (station.PositionMm / (length * TracedHorse.LengthMm))), aboutArch))]);
        var even = ZoneThickness.Even(TracedHorse.PanelMm);
        var rider = new DownwardForce(83 * 9.81, new PointMm(.5 * (tree.FrontMm + tree.RearMm), 0));
        return BeddedPanel.Over(Back, LaidTree.For(Back, tree, new Panel(even, even), FitSetting.For(tree))).Under(stiffness, [rider]);
    }

    private static TreeStation Turned(TreeStation station, double degrees, bool aboutArch)
    {
        var side = Turned(station.Left, degrees, aboutArch ? station.ChannelHeightMm : 0, aboutArch ? station.Left.ChannelHalfMm : 0);
        return station with { PositionMm = TracedHorse.FrontMm + station.PositionMm, Left = side, Right = side };
    }

    /// <summary>Turned outwards about a place so far above and inside of the inner edge.</summary>
    private static TreeSide Turned(TreeSide side, double degrees, double aboveMm, double insideMm)
    {
        var (sin, cos) = Math.SinCos(double.DegreesToRadians(degrees));
        PointMm At(double outward, double down) => new(((outward + insideMm) * cos) + ((down + aboveMm) * sin), ((down + aboveMm) * cos) - ((outward + insideMm) * sin));
        var inner = At(0, 0);
        PointMm[] surface = [.. side.Surface.Select(point => At(point.X, point.Y)).Select(point => new PointMm(point.X - inner.X, point.Y - inner.Y))];
        return new TreeSide(side.ChannelHalfMm + inner.X - insideMm, surface[^1].X, side.InnerDepthMm + inner.Y - aboveMm, surface);
    }

    private static BackShape BackOf(HorseTrends trends) => trends.Back.Outline.Of(trends.Back.On(Larkfield.Today).Means);
}
