using BackTracker.Engine.Assessments;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Commissions;

public class TreeAgainstOrderTests
{
    private static readonly DateOnly Day = new(2026, 5, 1);

    [Fact]
    public void Compare_tree_as_ordered_accepts_it() =>
        Assert.Equal(OrderVerdict.Accept, TreeAgainstOrder.Verdict(TreeAgainstOrder.Compare(TracedHorse.Tree("o", Day), TracedHorse.Tree("m", Day), OrderLimits.Usual)));

    // One fitting is 2 cm across the points (Meschan et al. 2007); padding never cures a narrow saddle (guidance of trade bodies).
    [Theory]
    [InlineData(300, 303, OrderVerdict.Accept)]
    [InlineData(300, 308, OrderVerdict.WithinFlocking)]
    [InlineData(300, 292, OrderVerdict.Alter)]
    [InlineData(300, 313, OrderVerdict.Alter)]
    [InlineData(300, 320, OrderVerdict.Refuse)]
    [InlineData(300, 280, OrderVerdict.Refuse)]
    public void Compare_trees_by_widths_leaves_only_what_came_wider_to_flocking(double ordered, double came, OrderVerdict expected)
    {
        var differences = TreeAgainstOrder.Compare(ByWidth("o", ordered), ByWidth("m", came), OrderLimits.Usual);
        var difference = Assert.Single(differences);
        Assert.Equal((Station.Of(13), came - ordered, expected), (difference.Station!.Value, difference.Difference, difference.Verdict));
    }

    // Closed form: turning a side out until its outer edge has moved by 3 mm widens the tree by 6 mm.
    [Fact]
    public void Compare_tree_opened_on_both_sides_finds_twice_the_opening()
    {
        var differences = TreeAgainstOrder.Compare(TracedHorse.Tree("o", Day), Opened(3, 3), OrderLimits.Usual);
        Assert.All(differences.Where(d => d.Measure == OrderMeasure.OuterWidth), d => Assert.Equal((6, OrderVerdict.WithinFlocking), (Math.Round(d.Difference, 6), d.Verdict)));
        Assert.All(differences.Where(d => d.Measure == OrderMeasure.LeftRightReach), d => Assert.Equal((0, OrderVerdict.Accept), (Math.Round(d.Difference, 6), d.Verdict)));
        Assert.All(differences.Where(d => d.Measure == OrderMeasure.Angle), d => Assert.True(d.Difference < 0, "Opened sides are flatter."));
    }

    [Fact]
    public void Compare_tree_opened_on_one_side_names_the_unevenness_and_has_it_altered()
    {
        var differences = TreeAgainstOrder.Compare(TracedHorse.Tree("o", Day), Opened(6, 0), OrderLimits.Usual);
        var uneven = differences.First(d => d.Measure == OrderMeasure.LeftRightReach);
        Assert.Equal((6, OrderVerdict.Alter), (Math.Round(uneven.Difference, 6), uneven.Verdict));
        Assert.Equal("0 mm behind the front edge: 6 mm further out on the left than on the right.", TreeAgainstOrder.Say(uneven));
    }

    [Fact]
    public void Compare_trees_recorded_in_different_ways_says_nothing() =>
        Assert.Empty(TreeAgainstOrder.Compare(ByWidth("o", 300), TracedHorse.Tree("m", Day), OrderLimits.Usual));

    private static TreeShapeFact ByWidth(string id, double width) => new(id, Day, [new TreeWidth(Station.Of(13), width)]);

    private static TreeShapeFact Opened(double leftMm, double rightMm)
    {
        var tree = TracedHorse.Tree("m", Day);
        return tree with { Stations = [.. tree.Stations.Select(s => s with { Left = s.Left.Opened(leftMm, s.ChannelHeightMm), Right = s.Right.Opened(rightMm, s.ChannelHeightMm) })] };
    }
}
