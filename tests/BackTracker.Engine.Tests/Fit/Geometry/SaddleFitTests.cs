using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Tests.Fit.Geometry;

/// <summary>Closed forms are derived beside each test; strips are 20 mm, cells an eighth of the bearing surface.</summary>
public class SaddleFitTests
{
    private const double RadiusMm = 3000;

    [Fact]
    public void Of_roof_on_the_same_roof_sinks_by_what_plane_geometry_says()
    {
        var (tree, back) = (Shapes.FlatTree(angleDeg: 35), Shapes.Back(Shapes.Roof(35), Shapes.Roof(35)));

        var fit = SaddleFit.Of(back, tree, Shapes.EvenPanel(25), FitSetting.For(tree));

        // The face lies t / cos b below the tree, and the skin c tan b below the midline at the channel's edge.
        var drop = (40 * Shapes.Tan(35)) - (25 / Shapes.Cos(35));
        Assert.Equal(drop, fit.LoadPointDropMm, .001);
        Assert.Equal(0, fit.Rest.PitchDeg, .001);
        Assert.Equal(0, fit.Rest.RollDeg, .001);
        Assert.Equal(0, fit.Gaps.MostMm, .001);
        Assert.Equal(50 - drop, fit.SpineClearance.RoomMm, .001);
        Assert.Equal(Shapes.FrontMm, fit.SpineClearance.AtMm);
        Assert.Equal((15, 15), (fit.LeftChannelClearanceMm, fit.RightChannelClearanceMm));
        Assert.Equal((0, 0), (fit.LeftBridging.LengthMm, fit.RightBridging.LengthMm));
    }

    [Fact]
    public void Of_tree_with_a_wider_half_channel_rolls_towards_it()
    {
        var tree = Shapes.Tree(TreeSide.Flat(40, 80, 0, 30), TreeSide.Flat(50, 80, 0, 30));

        var fit = SaddleFit.Of(Shapes.Back(Shapes.Roof(30), Shapes.Roof(30)), tree, Panel.None, FitSetting.For(tree));

        // Gaps of 40 tan b on the left and 50 tan b on the right: it stands on the left innermost cells (45 mm out) and the right outermost (125).
        var slope = 10 * Shapes.Tan(30) / (45 + 125);
        Assert.Equal(slope, fit.Rest.RollSlope, 1e-5);
        Assert.Equal((40 * Shapes.Tan(30)) + (45 * slope), fit.LoadPointDropMm, .001);
        Assert.Equal((15, 25), (fit.LeftChannelClearanceMm, fit.RightChannelClearanceMm));
        Assert.Equal(PoseKind.Unique, fit.Gaps.Pose);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(44, 0)]
    [InlineData(46, 1)]
    [InlineData(-44, 0)]
    [InlineData(-46, -1)]
    public void Of_wide_tree_tips_when_the_seat_lies_outside_its_inner_edges(double seatLateralMm, int tips)
    {
        // A flatter tree stands on its innermost cells, 45 mm out; a load beyond them lays it flat on that side.
        var tree = Shapes.FlatTree(angleDeg: 25);

        var fit = SaddleFit.Of(
            Shapes.Back(Shapes.Roof(30), Shapes.Roof(30)), tree, Panel.None, FitSetting.For(tree) with { Seat = new PointMm(Shapes.MidMm, seatLateralMm) });

        Assert.Equal(tips * (Shapes.Tan(30) - Shapes.Tan(25)), fit.Rest.RollSlope, 1e-4);
        Assert.Equal(fit.Rest.DropAt(0, seatLateralMm), fit.LoadPointDropMm, 1e-9);
    }

    [Fact]
    public void Of_hollow_back_bridges_by_its_sagitta_and_does_not_rock()
    {
        var fit = OnTopline(at => -Math.Pow(at - Shapes.MidMm, 2) / (2 * RadiusMm));

        // L^2/8R with L from the first strip's middle to the last's.
        var sagitta = Math.Pow(Shapes.LengthMm - 20, 2) / (8 * RadiusMm);
        Assert.Equal(sagitta, fit.LeftBridging.MostMm, .02);
        Assert.Equal(sagitta, fit.RightBridging.MostMm, .02);
        Assert.Equal(.5, fit.LeftBridging.AtShare, 1e-9);
        // More than 3 mm within sqrt((L/2)^2 - 6R) of the middle, in whole strips.
        Assert.Equal(2 * Math.Sqrt(Math.Pow((Shapes.LengthMm - 20) / 2, 2) - (6 * RadiusMm)), fit.LeftBridging.LengthMm, 20.0);
        Assert.Equal(0, fit.RockingMm, .01);
    }

    [Fact]
    public void Of_arched_back_rocks_and_does_not_bridge()
    {
        var fit = OnTopline(at => Math.Pow(at - Shapes.MidMm, 2) / (2 * RadiusMm));

        // Tangents at the two loads, a sixth of the length before and behind the middle: L/3R between them, L^2/3R at an end.
        Assert.Equal(Shapes.LengthMm * Shapes.LengthMm / (3 * RadiusMm), fit.RockingMm, .05);
        Assert.Equal(double.RadiansToDegrees(Shapes.LengthMm / (3 * RadiusMm)), fit.RockingDeg, .01);
        Assert.Equal(0, fit.LeftBridging.MostMm, .02);
        Assert.Equal(0, fit.LeftBridging.LengthMm);
    }

    [Fact]
    public void Of_tree_with_another_datum_lies_the_same()
    {
        var (fit, lifted) = (Crooked(), Crooked(innerDepth: _ => -37));

        Assert.Equal(fit.Rest.HeaveMm + 37, lifted.Rest.HeaveMm, .001);
        AssertSameBut(fit, lifted, pitchSlope: 0);
    }

    [Fact]
    public void Of_tree_with_its_datum_turned_pitches_by_as_much_and_lies_the_same()
    {
        var (fit, turned) = (Crooked(), Crooked(innerDepth: at => .05 * (at - Shapes.MidMm)));

        Assert.Equal(fit.Rest.HeaveMm, turned.Rest.HeaveMm, .001);
        AssertSameBut(fit, turned, pitchSlope: -.05);
    }

    [Fact]
    public void Of_mirrored_tree_on_the_mirrored_back_swaps_sides_and_turns_the_sign_of_roll()
    {
        var (fit, mirrored) = (Crooked(), Crooked(mirror: true));

        Assert.NotEqual(0, fit.Rest.RollSlope, 1e-3);
        Assert.Equal(fit.Rest.HeaveMm, mirrored.Rest.HeaveMm, .001);
        Assert.Equal(fit.Rest.PitchSlope, mirrored.Rest.PitchSlope, 1e-5);
        Assert.Equal(-fit.Rest.RollSlope, mirrored.Rest.RollSlope, 1e-5);
        Assert.Equal(fit.LeftBridging.MostMm, mirrored.RightBridging.MostMm, .001);
        Assert.Equal(fit.RightBridging.MostMm, mirrored.LeftBridging.MostMm, .001);
        Assert.Equal(fit.LeftChannelClearanceMm, mirrored.RightChannelClearanceMm, 1e-9);
        Assert.All(fit.Stations.Zip(mirrored.Stations), pair => Assert.Equal(pair.First.Left.AngleMismatchDeg!.Value, pair.Second.Right.AngleMismatchDeg!.Value, 1e-9));
        Assert.Equal(fit.RockingMm, mirrored.RockingMm, .001);
    }

    [Fact]
    public void Of_finer_patches_comes_closer_to_the_smooth_panel()
    {
        var smooth = Crooked(size: new PatchSize(2.5, 64));
        var (usual, fine, finer) = (Crooked(size: PatchSize.Usual), Crooked(size: new PatchSize(10, 16)), Crooked(size: new PatchSize(5, 32)));

        Assert.All(new Func<SaddleFit, double>[] { fit => fit.LoadPointDropMm, fit => fit.Rest.RollDeg, fit => fit.LeftBridging.MostMm, fit => fit.RockingMm }, value =>
        {
            double[] errors = [.. new[] { usual, fine, finer }.Select(fit => Math.Abs(value(fit) - value(smooth)))];
            Assert.True(errors[0] > 1.3 * errors[1] && errors[1] > 1.3 * errors[2], string.Join(", ", errors));
        });
        Assert.Equal(smooth.LoadPointDropMm, usual.LoadPointDropMm, .4);
        Assert.Equal(smooth.Rest.PitchDeg, usual.Rest.PitchDeg, .05);
        Assert.Equal(smooth.Rest.RollDeg, usual.Rest.RollDeg, .3);
        Assert.Equal(smooth.LeftBridging.MostMm, usual.LeftBridging.MostMm, .6);
        Assert.Equal(smooth.SpineClearance.RoomMm, usual.SpineClearance.RoomMm, .4);
    }

    [Fact]
    public void Of_thicker_panel_on_one_side_lifts_that_side()
    {
        var tree = Shapes.FlatTree();
        var panel = new Panel(ZoneThickness.Even(24), ZoneThickness.Even(20));

        var fit = SaddleFit.Of(Shapes.Back(Shapes.Roof(30), Shapes.Roof(30)), tree, panel, FitSetting.For(tree));

        // It stands on the innermost cells of the thick side and the outermost of the other; the face moves in by t sin b.
        Assert.Equal(4 / Shapes.Cos(30) / (45 - 12 + 115 - 10), fit.Rest.RollSlope, 1e-5);
    }

    [Fact]
    public void Of_thicker_panel_in_front_lifts_the_front()
    {
        var tree = Shapes.FlatTree();
        var panel = Shapes.EvenPanel(20).With(Side.Left, Zone.Front, 4).With(Side.Right, Zone.Front, 4);

        var fit = SaddleFit.Of(Shapes.Back(Shapes.Roof(30), Shapes.Roof(30)), tree, panel, FitSetting.For(tree));

        // Thick to a sixth of the length (the middle of strip 3), where it stands, and on its last strip (20).
        Assert.Equal(4 / Shapes.Cos(30) / (17 * 20), fit.Rest.PitchSlope, 1e-5);
    }

    [Fact]
    public void On_tree_made_ready_for_another_back_lies_as_if_made_ready_for_this_one()
    {
        var (tree, panel) = (Shapes.FlatTree(), Shapes.EvenPanel(20));
        var laid = LaidTree.For(Shapes.Back(Shapes.Roof(30), Shapes.Roof(30)), tree, panel, FitSetting.For(tree));
        var back = Shapes.Back(Shapes.Round(110), Shapes.Round(120), at => .02 * at);

        var (ready, fresh) = (SaddleFit.On(back, laid), SaddleFit.Of(back, tree, panel, FitSetting.For(tree)));

        Assert.Equal(fresh.Rest, ready.Rest);
        Assert.Equal(fresh.Gaps, ready.Gaps);
        Assert.Equal(fresh.Stations, ready.Stations);
        Assert.Equal(fresh.Clearances, ready.Clearances);
        Assert.Equal(fresh.RockingMm, ready.RockingMm);
    }

    [Fact]
    public void On_back_with_its_sections_elsewhere_is_refused()
    {
        var (tree, roof) = (Shapes.FlatTree(), Shapes.Roof(30));
        var laid = LaidTree.For(Shapes.Back(roof, roof), tree, Panel.None, FitSetting.For(tree));

        Assert.Throws<ArgumentException>(() => SaddleFit.On(new BackShape([new(0, roof, roof), new(440, roof, roof)], []), laid));
        Assert.Throws<ArgumentException>(() => SaddleFit.On(new BackShape([new(0, roof, roof), new(201, roof, roof), new(440, roof, roof)], []), laid));
    }

    private static SaddleFit OnTopline(Func<double, double> topline)
    {
        var tree = Shapes.FlatTree();
        return SaddleFit.Of(Shapes.Back(Shapes.Roof(30), Shapes.Roof(30), topline), tree, Panel.None, FitSetting.For(tree));
    }

    /// <summary>A tree that differs left and right under an uneven panel, on an uneven, hollow back, sat to one side.</summary>
    private static SaddleFit Crooked(Func<double, double>? innerDepth = null, bool mirror = false, PatchSize? size = null)
    {
        var tree = Shapes.Tree(new TreeSide(38, 75, 2, [new(0, 0), new(30, 14), new(75, 50)]), TreeSide.Flat(45, 90, 0, 30), innerDepth);
        var panel = new Panel(new ZoneThickness(22, 20, 18), new ZoneThickness(20, 22, 25));
        var back = new BackShape(
            [.. new[] { (0, 95), (200, 120), (440, 170) }.Select(section => new BackStation(section.Item1, Shapes.Round(section.Item2), Shapes.Round(section.Item2 + 12)))],
            [new(-100, -5), new(0, -8), new(150, 6), new(300, 5), new(450, 0)]);
        var seat = new PointMm(Shapes.MidMm + 15, 8);
        if (mirror)
        {
            (tree, panel, seat) = (Shapes.Mirrored(tree), new Panel(panel.Right, panel.Left), seat with { Y = -seat.Y });
            back = new BackShape([.. back.Stations.Select(Shapes.Mirrored)], [new(-100, -5), new(0, -8), new(150, 6), new(300, 5), new(450, 0)]);
        }
        return SaddleFit.Of(back, tree, panel, FitSetting.For(tree) with { Seat = seat, Size = size ?? PatchSize.Usual });
    }

    private static void AssertSameBut(SaddleFit expected, SaddleFit actual, double pitchSlope)
    {
        Assert.Equal(expected.Rest.PitchSlope + pitchSlope, actual.Rest.PitchSlope, 1e-5);
        Assert.Equal(expected.Rest.RollSlope, actual.Rest.RollSlope, 1e-5);
        Assert.Equal(expected.RockingMm, actual.RockingMm, .001);
        Assert.Equal(expected.LeftBridging.MostMm, actual.LeftBridging.MostMm, .001);
        Assert.Equal(expected.RightBridging.MostMm, actual.RightBridging.MostMm, .001);
        Assert.Equal(expected.Gaps.MeanMm, actual.Gaps.MeanMm, .001);
        Assert.Equal(expected.SpineClearance.RoomMm, actual.SpineClearance.RoomMm, .001);
        Assert.All(expected.Stations.Zip(actual.Stations), pair => Assert.Equal(pair.First.WidthMismatch150Mm!.Value, pair.Second.WidthMismatch150Mm!.Value, 1e-6));
    }
}
