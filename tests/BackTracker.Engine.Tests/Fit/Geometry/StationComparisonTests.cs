using BackTracker.Engine.Fit.Geometry;

namespace BackTracker.Engine.Tests.Fit.Geometry;

public class StationComparisonTests
{
    [Fact]
    public void Of_tree_that_differs_left_and_right_compares_each_side_with_its_own()
    {
        var tree = Shapes.Tree(TreeSide.Flat(40, 80, 0, 40), TreeSide.Flat(50, 80, 0, 35));

        var compared = StationComparison.Of(Shapes.Back(Shapes.Roof(40), Shapes.Roof(40)), tree, Panel.None)[0];

        // Inner edges 40 and 50 mm out: their mean touches 45 mm out; the flatter side is the shallower one.
        var (inner, drop) = (45 * Shapes.Tan(40), 80 * Shapes.Tan(35));
        Assert.Equal(inner, compared.DepthUsed30Mm, 1e-9);
        Assert.Equal(inner + drop, compared.DepthUsed150Mm, 1e-9);
        Assert.Equal(-5, compared.Left.HalfMismatch30Mm!.Value, 1e-9);
        Assert.Equal(5, compared.Right.HalfMismatch30Mm!.Value, 1e-9);
        Assert.Equal(-5, compared.Left.HalfMismatch150Mm!.Value, 1e-9);
        Assert.Equal(50 + 80 - 45 - (drop / Shapes.Tan(40)), compared.Right.HalfMismatch150Mm!.Value, 1e-9);
        Assert.Equal(80 - (drop / Shapes.Tan(40)), compared.WidthMismatch150Mm!.Value, 1e-9);
        Assert.Equal(0, compared.Left.AngleMismatchDeg!.Value, 1e-9);
        Assert.Equal(-5, compared.Right.AngleMismatchDeg!.Value, 1e-9);
        Assert.Equal(-2.5, compared.AngleMismatchDeg!.Value, 1e-9);
        Assert.Equal(90, compared.ChannelWidthMm, 1e-9);
    }

    [Fact]
    public void Of_conforming_tree_compares_the_face_of_the_panel()
    {
        // A parallel of a roof is that roof: with any panel it fits, if its inner edge lies as far out as the skin under it.
        var (tree, back) = (Shapes.FlatTree(angleDeg: 35), Shapes.Back(Shapes.Roof(35), Shapes.Roof(35)));

        Assert.All(StationComparison.Of(back, tree, Shapes.EvenPanel(25)), compared =>
        {
            Assert.Equal(0, compared.WidthMismatch30Mm!.Value, 1e-9);
            Assert.Equal(0, compared.WidthMismatch150Mm!.Value, 1e-9);
            Assert.Equal(0, compared.AngleMismatchDeg!.Value, 1e-9);
        });
    }

    [Theory]
    [InlineData(Shapes.FrontMm - 30, true)]
    [InlineData(Shapes.FrontMm - 30.1, false)]
    [InlineData(Shapes.FrontMm, true)]
    public void Of_sections_beyond_the_tree_are_left_out(double firstMm, bool isCovered)
    {
        var tree = Shapes.FlatTree(angleDeg: 30);
        var back = new BackShape([new(firstMm, Shapes.Roof(35), Shapes.Roof(35)), new(200, Shapes.Roof(30), Shapes.Roof(30)), new(390.1, Shapes.Roof(30), Shapes.Roof(30))], []);

        var compared = StationComparison.Of(back, tree, Panel.None);

        Assert.Equal(isCovered ? [0, 1] : [1], compared.Select(station => station.Station));
        if (isCovered)
            Assert.Equal(-5, compared[0].AngleMismatchDeg!.Value, 1e-9);
    }

    [Fact]
    public void Of_section_beyond_a_tapering_tree_holds_it_against_the_end_of_the_tree()
    {
        var tree = new TreeShape([Station(0, 40), Station(200, 30), Station(400, 20)]);
        var back = new BackShape([new(-25, Shapes.Roof(40), Shapes.Roof(40)), new(420, Shapes.Roof(20), Shapes.Roof(20))], []);

        Assert.All(StationComparison.Of(back, tree, Panel.None), compared => Assert.Equal(0, compared.AngleMismatchDeg!.Value, 1e-9));

        static TreeStation Station(double at, double angleDeg) => new(at, 50, TreeSide.Flat(40, 80, 0, angleDeg), TreeSide.Flat(40, 80, 0, angleDeg));
    }

    [Fact]
    public void Of_level_face_has_an_angle_and_no_width()
    {
        var compared = StationComparison.Of(Shapes.Back(Shapes.Roof(10), Shapes.Roof(10)), Shapes.FlatTree(angleDeg: 0), Panel.None)[0];

        Assert.Null(compared.WidthMismatch30Mm);
        Assert.Null(compared.WidthMismatch150Mm);
        Assert.Equal(-10, compared.AngleMismatchDeg!.Value, 1e-9);
    }

    [Fact]
    public void Of_section_that_ends_above_the_depth_compared_has_no_width_there()
    {
        var compared = StationComparison.Of(Shapes.Back(Shapes.Roof(30), Shapes.Roof(30, reachMm: 70)), Shapes.FlatTree(angleDeg: 30), Panel.None)[0];

        Assert.Equal(0, compared.WidthMismatch30Mm!.Value, 1e-9);
        Assert.Equal(0, compared.Left.HalfMismatch150Mm!.Value, 1e-9);
        Assert.Null(compared.Right.HalfMismatch150Mm);
        Assert.Null(compared.WidthMismatch150Mm);
        Assert.Null(compared.Right.AngleMismatchDeg);
    }
}
