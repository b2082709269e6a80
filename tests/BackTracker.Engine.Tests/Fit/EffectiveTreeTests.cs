using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Fit;

public class EffectiveTreeTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    [Theory]
    [InlineData(5, Zone.Front)]
    [InlineData(10, Zone.Front)]
    [InlineData(11, Zone.Middle)]
    [InlineData(15, Zone.Middle)]
    [InlineData(16, Zone.Rear)]
    [InlineData(18, Zone.Rear)]
    public void ZoneOf_boundary_rows(int vertebra, Zone zone) => Assert.Equal(zone, EffectiveTree.ZoneOf(Station.Of(vertebra)));

    // Padding never cures a narrow saddle (trade handbooks).
    [Theory]
    [InlineData(AdjustmentKind.Tree, Zone.Middle, 307)]
    [InlineData(AdjustmentKind.Tree, Zone.Front, 300)]
    [InlineData(AdjustmentKind.Flocking, Zone.Middle, 300)]
    [InlineData(AdjustmentKind.Shim, Zone.Middle, 300)]
    [InlineData(AdjustmentKind.Pad, Zone.Middle, 300)]
    [InlineData(AdjustmentKind.Balance, Zone.Middle, 300)]
    [InlineData(AdjustmentKind.Repair, Zone.Middle, 300)]
    public void On_only_an_altered_tree_changes_its_width(AdjustmentKind kind, Zone zone, double expected) =>
        Assert.Equal(expected, WidthOn(Day, new AdjustmentFact("j", Day, kind, [new(Side.Left, zone, 4), new(Side.Right, zone, 3)])));

    [Fact]
    public void On_alteration_counts_from_its_day_and_after_the_day_of_the_shape()
    {
        var change = new AdjustmentFact("j", Day, AdjustmentKind.Tree, [new(Side.Left, Zone.Middle, 4)]);
        Assert.Equal(300, WidthOn(Day.AddDays(-1), change));
        Assert.Equal(304, WidthOn(Day.AddDays(30), change));
        Assert.Equal(300, WidthOn(Day, change with { On = Larkfield.Pairing("a", 300).From }));
    }

    // How far it opened is told at its edge alone.
    [Fact]
    public void On_altered_tree_has_no_width_at_30_until_it_is_measured_again()
    {
        var pairing = Larkfield.Pairing("a", 300);
        var measured = pairing with { TreeShapes = [new TreeShapeFact("new", Day, [new TreeWidth(Station.Of(13), 310) { Width30Mm = 120 }])] };
        var altered = measured with { Adjustments = [new AdjustmentFact("j", Day.AddDays(1), AdjustmentKind.Tree, [new(Side.Left, Zone.Middle, 4)])] };

        Assert.Equal(120, EffectiveTree.On(measured, Day.AddDays(1))!.Widths[0].Width30Mm);
        Assert.Null(EffectiveTree.On(altered, Day.AddDays(1))!.Widths[0].Width30Mm);
    }

    [Fact]
    public void On_latest_shape_counts_and_forgets_alterations_before_it()
    {
        var pairing = Larkfield.Pairing("a", 300);
        pairing = pairing with
        {
            TreeShapes = [new TreeShapeFact("new", Day, [new TreeWidth(Station.Of(13), 310)]), .. pairing.TreeShapes],
            Adjustments = [new AdjustmentFact("j", Day.AddDays(-5), AdjustmentKind.Tree, [new(Side.Left, Zone.Middle, 4)])],
        };
        var tree = EffectiveTree.On(pairing, Day)!;
        Assert.Equal(("new", Day, 310), (tree.ShapeId, tree.Since, tree.Widths[0].Width150Mm));
        Assert.Equal(304, EffectiveTree.On(pairing, Day.AddDays(-1))!.Widths[0].Width150Mm);
        Assert.Equal(Day.AddDays(-5), EffectiveTree.On(pairing, Day.AddDays(-1))!.Since);
    }

    [Fact]
    public void On_before_the_first_shape_there_is_no_tree() =>
        Assert.Null(EffectiveTree.On(Larkfield.Pairing("a", 300), Larkfield.Pairing("a", 300).From.AddDays(-1)));

    private static double WidthOn(DateOnly day, AdjustmentFact change) =>
        EffectiveTree.On(Larkfield.Pairing("a", 300) with { Adjustments = [change] }, day)!.Widths[0].Width150Mm;
}
