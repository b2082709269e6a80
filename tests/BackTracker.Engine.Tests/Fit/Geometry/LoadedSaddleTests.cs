using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Tests.Fit.Geometry;

public class LoadedSaddleTests
{
    private const double StiffnessKPaPerMm = 2;
    private static readonly DownwardForce Rider = new(700, new PointMm(Shapes.MidMm, 0));

    /// <summary>
    /// A worked example of a square footing of a tower crane on a public page: 2687.5 kN on 7 by 7 m, 1.563 m off its middle, stands on 5.811 m
    /// and presses with 132.2 kPa at its edge. Here at a tenth of its size. Formulas: Bowles, Foundation Analysis and Design, and Das, Principles of
    /// Foundation Engineering (from memory): 2W / 3B(L/2 - e) over a length of 3(L/2 - e).
    /// </summary>
    [Fact]
    public void Under_load_off_the_middle_of_a_footing_presses_its_edge_as_in_the_worked_example()
    {
        var side = TreeSide.Flat(0, 350, 0, 0);
        var footing = new TreeShape([new TreeStation(0, 50, side, side), new TreeStation(700, 50, side, side)]);
        var ground = Shapes.Back(Shapes.Roof(0), Shapes.Roof(0));
        var setting = FitSetting.For(footing) with { Size = new PatchSize(10, 8) };

        var loaded = BeddedPanel.Over(ground, LaidTree.For(ground, footing, Panel.None, setting)).Under(1, [new(26_875, new PointMm(350 + 156.3, 0))]);

        Assert.Equal(132.2, loaded.Pose.DropAt(350, 0), .1);
        Assert.Equal(581.1 / 700, loaded.TouchingShare, .012);
        Assert.True(loaded.Of(Zone.Front).Share < .1);
    }

    [Fact]
    public void Under_any_load_carries_it_where_it_acts_whatever_the_shape()
    {
        var (back, tree) = (Shapes.Back(Shapes.Round(160), Shapes.Round(190), x => 18 * Math.Sin(x / 130)), Shapes.FlatTree(38));
        DownwardForce[] forces = [Rider with { At = new PointMm(Shapes.MidMm + 25, 12) }, new(150, new PointMm(Shapes.FrontMm + 70, 0))];

        var loaded = Bedded(back, tree, Shapes.EvenPanel(25)).Under(StiffnessKPaPerMm, forces);

        Assert.Equal(850, loaded.ForceN, 1e-8);
        Assert.Equal(forces.Sum(force => force.ForceN * force.At.X) / 850, loaded.CentreOfPressure.X, 1e-8);
        Assert.Equal(forces.Sum(force => force.ForceN * force.At.Y) / 850, loaded.CentreOfPressure.Y, 1e-8);
        Assert.Equal(1, Enum.GetValues<Side>().Sum(side => Enum.GetValues<Zone>().Sum(zone => loaded.Of(side, zone).Share)), 1e-12);
        Assert.Equal(loaded.Whole.PeakKPa, loaded.PressureKPa.Max());
    }

    [Fact]
    public void Under_mirrored_tree_back_and_load_lies_mirrored()
    {
        var tree = Shapes.Tree(TreeSide.Flat(40, 80, 0, 34), TreeSide.Flat(46, 84, 3, 40));
        var (left, right) = (Shapes.Round(150), Shapes.Roof(39));
        var force = Rider with { At = new PointMm(Shapes.MidMm - 20, 14) };

        var one = Bedded(Shapes.Back(left, right), tree, Shapes.EvenPanel(20)).Under(StiffnessKPaPerMm, [force]);
        var other = Bedded(Shapes.Back(right, left), Shapes.Mirrored(tree), Shapes.EvenPanel(20)).Under(StiffnessKPaPerMm, [force with { At = new PointMm(force.At.X, -force.At.Y) }]);

        Assert.Equal((one.Pose.HeaveMm, one.Pose.PitchSlope), (other.Pose.HeaveMm, other.Pose.PitchSlope), Near);
        Assert.Equal(one.Pose.RollSlope, -other.Pose.RollSlope, 1e-9);
        Assert.Equal(one.Of(Side.Left, Zone.Front).PeakKPa, other.Of(Side.Right, Zone.Front).PeakKPa, 1e-9);
        Assert.NotEqual(0, one.Pose.RollDeg, .05);
    }

    [Fact]
    public void Conforming_panel_presses_evenly_as_far_as_the_flank_is_even()
    {
        // A roof of one slope: the pressure is the load over the area seen from above, whatever the slope.
        var bedded = Bedded(Shapes.Back(Shapes.Roof(45), Shapes.Roof(45)), Shapes.FlatTree(30), Panel.None);

        var (own, conforming) = (bedded.Under(StiffnessKPaPerMm, [Rider]), bedded.Conforming().Under(StiffnessKPaPerMm, [Rider]));

        Assert.All(conforming.PressureKPa, pressure => Assert.Equal(700e3 / (2 * 80 * Shapes.LengthMm), pressure, 1e-6));
        Assert.Equal(1, conforming.TouchingShare);
        Assert.True(own.Whole.PeakKPa > 2 * conforming.Whole.PeakKPa);
        Assert.True(own.TouchingShare < .7);
    }

    [Fact]
    public void MostStrain_thick_panel_counts_its_thickness_and_a_bare_tree_has_none()
    {
        var back = Shapes.Back(Shapes.Roof(30), Shapes.Roof(30));
        var loaded = Bedded(back, Shapes.FlatTree(), Shapes.EvenPanel(25)).Under(StiffnessKPaPerMm, [Rider]);

        Assert.Equal(loaded.Whole.PeakKPa / StiffnessKPaPerMm / 25, loaded.MostStrain, 1e-9);
        Assert.Equal(0, Bedded(back, Shapes.FlatTree(), Panel.None).Under(StiffnessKPaPerMm, [Rider]).MostStrain);
    }

    [Fact]
    public void Under_some_back_not_known_leaves_those_patches_out_up_to_a_tenth()
    {
        var tree = Shapes.FlatTree(30);
        // The outermost of eight cells lies beyond 111 mm, over the last third of the tree only.
        BackShape Back(double rearReachMm) => new(
            [new(0, Shapes.Roof(30), Shapes.Roof(30)), new(300, Shapes.Roof(30), Shapes.Roof(30)), new(330, Shapes.Roof(30, rearReachMm), Shapes.Roof(30, rearReachMm))], []);

        var loaded = Bedded(Back(112), tree, Panel.None).Under(StiffnessKPaPerMm, [Rider]);

        Assert.InRange(loaded.PressureKPa.Count(double.IsNaN), 2, 33);
        Assert.Equal(700, loaded.ForceN, 1e-8);
        Assert.Equal(FitFault.ProfileTooNarrowForTree, Shapes.FaultOf(() => Bedded(Back(50), tree, Panel.None)));
    }

    // The panel's outer patches end 5 mm within its outer edge of 120 mm, those of its ends 10 mm within them.
    [Theory]
    [InlineData(0, 113.9, true)]
    [InlineData(0, 114.1, false)]
    [InlineData(198.9, 0, true)]
    [InlineData(199.1, 0, false)]
    public void Under_load_less_than_a_millimetre_inside_what_carries_is_refused(double behindMm, double rightMm, bool carries)
    {
        var bedded = Bedded(Shapes.Back(Shapes.Roof(30), Shapes.Roof(30)), Shapes.FlatTree(30), Panel.None);
        LoadedSaddle Load() => bedded.Under(StiffnessKPaPerMm, [Rider with { At = new PointMm(Shapes.MidMm + behindMm, rightMm) }]);

        if (carries)
            Assert.Equal(700, Load().ForceN, 1e-7);
        else
            Assert.Equal(FitFault.LoadOutsideSupport, Shapes.FaultOf(Load));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-700)]
    [InlineData(double.NaN)]
    public void Under_no_load_is_refused(double forceN) => Assert.Equal(
        FitFault.NoLoad, Shapes.FaultOf(() => Bedded(Shapes.Back(Shapes.Roof(30), Shapes.Roof(30)), Shapes.FlatTree(30), Panel.None).Under(StiffnessKPaPerMm, [Rider with { ForceN = forceN }])));

    private static BeddedPanel Bedded(BackShape back, TreeShape tree, Panel panel) => BeddedPanel.Over(back, LaidTree.For(back, tree, panel, FitSetting.For(tree)));

    private static bool Near((double, double) a, (double, double) b) => Math.Abs(a.Item1 - b.Item1) < 1e-8 && Math.Abs(a.Item2 - b.Item2) < 1e-10;
}
