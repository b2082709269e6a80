using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Tests.Fit.Geometry;

public class GeometryFaultTests
{
    private static readonly TreeSide Side = TreeSide.Flat(40, 80, 0, 30);

    [Theory]
    [InlineData(FitFault.NoRigidTree, "no_rigid_tree")]
    [InlineData(FitFault.TooFewTreeStations, "too_few_tree_stations")]
    [InlineData(FitFault.TooFewStations, "too_few_stations")]
    [InlineData(FitFault.StationsNotOrdered, "stations_not_ordered")]
    [InlineData(FitFault.TreeGeometryInvalid, "tree_geometry_invalid")]
    [InlineData(FitFault.ProfileTooNarrowForTree, "profile_too_narrow_for_tree")]
    [InlineData(FitFault.LoadOutsideSupport, "load_outside_support")]
    [InlineData(FitFault.SupportDegenerate, "support_degenerate")]
    [InlineData(FitFault.NotConverged, "not_converged")]
    public void Code_of_a_fault_is_its_name_in_small_letters(FitFault fault, string code) => Assert.Equal(code, FitFaults.Code(fault));

    [Fact]
    public void Sentence_of_every_fault_is_its_own_and_a_whole_sentence()
    {
        var sentences = Enum.GetValues<FitFault>().Select(FitFaults.Sentence).ToList();

        Assert.Equal(sentences.Count, sentences.Distinct().Count());
        Assert.All(sentences, sentence => Assert.EndsWith(".", sentence, StringComparison.Ordinal));
    }

    [Fact]
    public void Sentence_of_a_treeless_saddle_says_that_it_has_no_rigid_tree()
    {
        var refused = new GeometryException(FitFault.NoRigidTree);

        Assert.Equal("A treeless saddle has no rigid tree to lay on the back.", refused.Message);
    }

    [Theory]
    [InlineData(FitFault.TooFewTreeStations)]
    [InlineData(FitFault.TooFewTreeStations, 0.0)]
    [InlineData(FitFault.StationsNotOrdered, 0.0, 0.0)]
    [InlineData(FitFault.StationsNotOrdered, 0.0, 200.0, 100.0)]
    [InlineData(FitFault.StationsNotOrdered, 0.0, double.NaN)]
    public void TreeShape_stations_that_are_too_few_or_out_of_order_are_refused(FitFault fault, params double[] positions) =>
        Assert.Equal(fault, Shapes.FaultOf(() => new TreeShape([.. positions.Select(at => new TreeStation(at, 50, Side, Side))])));

    [Theory]
    [InlineData(FitFault.TooFewStations)]
    [InlineData(FitFault.TooFewStations, 0.0)]
    [InlineData(FitFault.StationsNotOrdered, 0.0, 0.0)]
    [InlineData(FitFault.StationsNotOrdered, 0.0, 200.0, 100.0)]
    [InlineData(FitFault.StationsNotOrdered, 0.0, double.NaN)]
    public void BackShape_stations_that_are_too_few_or_out_of_order_are_refused(FitFault fault, params double[] positions) =>
        Assert.Equal(fault, Shapes.FaultOf(() => new BackShape([.. positions.Select(at => new BackStation(at, Shapes.Roof(30), Shapes.Roof(30)))], [])));

    [Theory]
    [InlineData(0, 40)]
    [InlineData(-5, 40)]
    [InlineData(double.NaN, 40)]
    [InlineData(80, -1)]
    [InlineData(80, double.NaN)]
    public void TreeShape_side_without_breadth_or_beyond_the_middle_is_refused(double bearingMm, double channelHalfMm)
    {
        var bad = Side with { BearingMm = bearingMm, ChannelHalfMm = channelHalfMm };

        Assert.Equal(FitFault.TreeGeometryInvalid, Shapes.FaultOf(() => Shapes.Tree(Side, bad)));
        Assert.Equal(FitFault.TreeGeometryInvalid, Shapes.FaultOf(() => Shapes.Tree(bad, Side)));
    }

    [Fact]
    public void TreeShape_side_without_a_surface_is_refused() =>
        Assert.Equal(FitFault.TreeGeometryInvalid, Shapes.FaultOf(() => Shapes.Tree(Side with { Surface = [] }, Side)));

    [Fact]
    public void Of_face_that_folds_over_itself_is_refused()
    {
        // It steepens faster than a panel of 40 mm can follow: the face's outer parts come to lie inside of its inner ones.
        var steepening = new TreeSide(60, 80, 0, [new(0, 0), new(40, 2), new(60, 40), new(80, 120)]);

        Assert.Equal(FitFault.TreeGeometryInvalid, Shapes.FaultOf(() => PanelPatches.Of(Shapes.Tree(steepening, steepening), Shapes.EvenPanel(40), PatchSize.Usual)));
        Assert.Equal(336, PanelPatches.Of(Shapes.Tree(steepening, steepening), Panel.None, PatchSize.Usual).Count);
    }

    [Theory]
    [InlineData(23, true)]
    [InlineData(23.2, false)]
    public void Of_thick_panel_under_a_narrow_channel_must_not_cross_the_middle(double thicknessMm, bool fits)
    {
        // The inner edge moves in by t sin 60: 20 mm are used up at 23.09 mm.
        var tree = Shapes.FlatTree(angleDeg: 60, channelHalfMm: 20);

        var fault = Record.Exception(() => PanelPatches.Of(tree, Shapes.EvenPanel(thicknessMm), PatchSize.Usual)) as GeometryException;

        Assert.Equal(fits ? null : FitFault.TreeGeometryInvalid, fault?.Fault);
    }

    [Fact]
    public void Of_patches_in_one_line_is_no_support()
    {
        var patches = PanelPatches.Of(Shapes.FlatTree(), Panel.None, PatchSize.Usual);
        double[] firstStrip = [.. Enumerable.Range(0, patches.Count).Select(i => i < 16 ? 0 : double.NaN)];
        double[] onePatch = [.. Enumerable.Range(0, patches.Count).Select(i => i == 5 ? 0 : double.NaN)];

        Assert.Equal(FitFault.SupportDegenerate, Shapes.FaultOf(() => Support.Of(patches, firstStrip)));
        Assert.Equal(FitFault.SupportDegenerate, Shapes.FaultOf(() => Support.Of(patches, onePatch)));
    }

    [Theory]
    [InlineData(.9, false)]
    [InlineData(1.1, true)]
    public void Of_seat_within_a_millimetre_of_the_edge_of_the_support_is_refused(double insideMm, bool rests)
    {
        var (tree, back) = (Shapes.FlatTree(), Shapes.Back(Shapes.Roof(30), Shapes.Roof(30)));
        // Middles of the outermost patches: half a strip behind the front edge, half a cell inside the outer edge.
        var (frontMost, outerMost) = (Shapes.FrontMm + 10, 40 + (80 * 15 / 16.0));
        PointMm[] seats = [new(frontMost + insideMm, 0), new(Shapes.RearMm - 10 - insideMm, 0), new(Shapes.MidMm, outerMost - insideMm), new(Shapes.MidMm, insideMm - outerMost)];

        foreach (var seat in seats)
        {
            var fault = Record.Exception(() => SaddleFit.Of(back, tree, Panel.None, FitSetting.For(tree) with { Seat = seat })) as GeometryException;
            Assert.Equal(rests ? null : FitFault.LoadOutsideSupport, fault?.Fault);
        }
    }

    [Theory]
    [InlineData(12, true)]
    [InlineData(13, false)]
    public void Over_back_unknown_under_a_tenth_of_the_panel_is_enough_and_under_more_is_not(int leftStrips, bool isEnough)
    {
        // 336 patches: the outermost of every strip on the right (21) and of some strips on the left: 33 are 9.8 %, 34 are 10.1 %.
        var patches = PanelPatches.Of(Shapes.FlatTree(), Panel.None, PatchSize.Usual);
        var back = ShortUnder(patches, leftStrips);

        var fault = Record.Exception(() => Assert.Equal(336 - 21 - leftStrips, GapField.Over(back, patches).Known)) as GeometryException;

        Assert.Equal(isEnough ? null : FitFault.ProfileTooNarrowForTree, fault?.Fault);
    }

    [Fact]
    public void Of_back_unknown_under_what_does_not_touch_rests_as_on_the_whole_back()
    {
        // The back is steeper than the tree, which touches with its inner edges.
        var tree = Shapes.Tree(Side, Side, at => at / 50);
        var (whole, shortened) = (Shapes.Back(Shapes.Roof(40), Shapes.Roof(40)), Shapes.Back(Shapes.Roof(40), Shapes.Roof(40, reachMm: 112)));

        var (expected, fit) = (SaddleFit.Of(whole, tree, Panel.None, FitSetting.For(tree)), SaddleFit.Of(shortened, tree, Panel.None, FitSetting.For(tree)));

        Assert.Equal(expected.Rest.HeaveMm, fit.Rest.HeaveMm, .005);
        Assert.Equal(expected.Rest.PitchDeg, fit.Rest.PitchDeg, .005);
        Assert.True(fit.Gaps.MostMm < expected.Gaps.MostMm);
        Assert.Null(fit.Stations[0].Right.AngleMismatchDeg);
        Assert.Null(fit.Stations[0].AngleMismatchDeg);
        Assert.NotNull(fit.Stations[0].Left.AngleMismatchDeg);
    }

    /// <summary>A back whose sections are too short for the outermost patches on the right, and under the first strips on the left.</summary>
    private static BackShape ShortUnder(PanelPatches patches, int leftStrips)
    {
        var (whole, cut) = (Shapes.Roof(30), Shapes.Roof(30, reachMm: 112));
        BackStation[] around =
        [
            .. Enumerable.Range(0, patches.Strips).SelectMany(strip => new[] { 5, 15 }.Select(
                within => new BackStation(Shapes.FrontMm + (strip * patches.StripMm) + within, strip < leftStrips ? cut : whole, cut))),
        ];
        return new BackShape(around, []);
    }
}
