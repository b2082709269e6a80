using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Fit.Geometry;

public class OpenedTreeTests
{
    private static readonly TreeSide Side45 = TreeSide.Flat(48, 90, 5, 45);

    [Theory]
    [InlineData(10)]
    [InlineData(-7)]
    [InlineData(.5)]
    public void Opened_moves_the_outer_edge_out_by_just_that_much(double mm)
    {
        var opened = Side45.Opened(mm, 60);
        Assert.Equal(48 + 90 + mm, opened.ChannelHalfMm + opened.BearingMm, 1e-9);
    }

    // A turn about the roof of the arch: every point keeps its distance from it.
    [Fact]
    public void Opened_turns_the_side_about_the_roof_and_changes_no_length()
    {
        var opened = Side45.Opened(10, 60);
        Assert.Equal(double.Hypot(48, 60), double.Hypot(opened.ChannelHalfMm, opened.InnerDepthMm - 5 + 60), 1e-9);
        Assert.Equal(double.Hypot(90, 90), double.Hypot(opened.Surface[^1].X, opened.Surface[^1].Y), 1e-9);
        Assert.True(Math.Atan2(opened.Surface[^1].Y, opened.Surface[^1].X) < double.DegreesToRadians(45), "It grows flatter.");
    }

    [Fact]
    public void Opened_too_far_is_no_tree() =>
        Assert.Equal(FitFault.TreeGeometryInvalid, Assert.Throws<GeometryException>(() => Side45.Opened(200, 60)).Fault);

    [Fact]
    public void LaidAt_alteration_of_a_zone_and_side_changes_that_side_there()
    {
        var pairing = TracedHorse.Pairing("a").Adjusted(Larkfield.Today, AdjustmentKind.Tree, new ZoneChange(Side.Left, Zone.Front, 6));
        var (before, after) = (EffectiveTree.On(TracedHorse.Pairing("a"), Larkfield.Today)!.LaidAt(10), EffectiveTree.On(pairing, Larkfield.Today)!.LaidAt(10));
        double Outer(TreeShape tree, int station, Side side) => tree.Stations[station].Of(side).ChannelHalfMm + tree.Stations[station].Of(side).BearingMm;
        Assert.Equal(6, Outer(after, 0, Side.Left) - Outer(before, 0, Side.Left), 1e-9);
        Assert.Equal(0, Outer(after, 3, Side.Left) - Outer(before, 3, Side.Left), 1e-9);
        Assert.Equal(0, Outer(after, 0, Side.Right) - Outer(before, 0, Side.Right), 1e-9);
    }

    [Fact]
    public void PanelWith_adds_flocking_by_zone_and_side_and_the_pad_everywhere()
    {
        var pairing = TracedHorse.Pairing("a").Adjusted(Larkfield.Today, AdjustmentKind.Flocking, new ZoneChange(Side.Right, Zone.Rear, 4)).Adjusted(Larkfield.Today, AdjustmentKind.Shim, TracedHorse.Both(Zone.Front, 3));
        var panel = EffectiveTree.On(pairing, Larkfield.Today)!.PanelWith(5);
        Assert.Equal((new ZoneThickness(33, 30, 30), new ZoneThickness(33, 30, 34)), (panel.Left, panel.Right));
        Assert.Equal(ZoneThickness.Even(25), EffectiveTree.On(pairing, Larkfield.Today.AddDays(-1))!.PanelWith(0).Left);
    }

    [Fact]
    public void LaidAt_bearing_surface_that_runs_on_beyond_the_last_place_measured_goes_on_as_it_is_there()
    {
        var pairing = TracedHorse.Pairing("a");
        var shape = pairing.TreeShapes[0] with { BearingLengthMm = TracedHorse.LengthMm + 30 };
        var tree = EffectiveTree.On(pairing with { TreeShapes = [shape] }, Larkfield.Today)!.LaidAt(10);
        Assert.Equal((10, 10 + TracedHorse.LengthMm + 30), (tree.FrontMm, tree.RearMm));
        Assert.Equal(tree.ChannelHalfAt(Side.Left, tree.RearMm - 30), tree.ChannelHalfAt(Side.Left, tree.RearMm), 1e-12);
    }
}
