using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Tests.Fit.Geometry;

/// <summary>
/// The resting position is a linear programme; its answer is proved without solving it again. Nothing may enter the skin, and contact
/// forces of sum 1 without moment about the load have to exist at what touches: then, by weak duality, no pose lets the load lie lower.
/// </summary>
public class RestingSaddleTests
{
    private const double TouchingMm = .001;

    public static TheoryData<int> Seeds() => new(Enumerable.Range(0, 300));

    [Theory]
    [MemberData(nameof(Seeds))]
    public void Under_any_load_on_a_rough_back_is_the_lowest_pose(int seed)
    {
        var random = new Random(seed);
        var (back, tree) = RoughBack.Draw(random);
        var field = GapField.Over(back, PanelPatches.Of(tree, Panel.None, PatchSize.Usual));
        var saddle = new RestingSaddle(field);
        PointMm middle = new(Shapes.MidMm, 0), anywhere = new(Shapes.FrontMm + 12 + (396 * random.NextDouble()), 70 * ((2 * random.NextDouble()) - 1));

        AssertLowest(field, middle, saddle.Under(middle));
        AssertLowest(field, anywhere, saddle.Under(anywhere));
    }

    [Theory]
    [MemberData(nameof(Seeds))]
    public void Rest_on_a_rough_back_is_the_stiff_limit_of_springs(int seed)
    {
        var (back, tree) = RoughBack.Draw(new Random(seed));
        var field = GapField.Over(back, PanelPatches.Of(tree, Panel.None, PatchSize.Usual));
        var load = new PointMm(Shapes.MidMm + 17, 3);

        var exact = field.Patches.WholeSupport.Around(load).Settle(field, load)?.Through(field);
        var springs = new ContactSolver(field, [.. field.Patches.AreaMm2.Select(area => 1000 * area)]).Solve(1, 17, 3);

        Assert.NotNull(exact);
        Assert.Equal(springs.DropAt(17, 3), exact.Value.DropAt(17, 3), .002);
        Assert.Equal(springs.PitchDeg, exact.Value.PitchDeg, .002);
        Assert.Equal(springs.RollDeg, exact.Value.RollDeg, .002);
    }

    [Fact]
    public void Around_a_place_gives_three_patches_with_it_between_them()
    {
        var patches = PanelPatches.Of(Shapes.Tree(TreeSide.Flat(40, 80, 0, 30), TreeSide.Flat(60, 50, 0, 30)), Panel.None, PatchSize.Usual);
        for (var along = -49.0; along < 350; along += 7)
        {
            var (a, b, c) = patches.WholeSupport.Around(new PointMm(along, .1 * along));
            var turns = new[] { Turn(a, b), Turn(b, c), Turn(c, a) };
            Assert.All(turns, turn => Assert.True(turn >= 0, $"{along}: {string.Join(", ", turns)}"));

            double Turn(int p, int q) =>
                ((patches.PositionMm[q] - patches.PositionMm[p]) * ((.1 * along) - patches.LateralMm[p]))
                - ((patches.LateralMm[q] - patches.LateralMm[p]) * (along - patches.PositionMm[p]));
        }
    }

    [Theory]
    [InlineData(5)]
    [InlineData(-5)]
    public void Under_a_load_over_two_contacts_only_is_the_lowest_pose_and_says_that_it_may_tilt(double seatLateralMm)
    {
        // An arch touches at the strip in its middle on both sides, and the load lies between the two.
        var tree = Shapes.FlatTree();
        var back = Shapes.Back(Shapes.Roof(30), Shapes.Roof(30), at => (at - Shapes.MidMm) * (at - Shapes.MidMm) / 2000);
        var field = GapField.Over(back, PanelPatches.Of(tree, Panel.None, PatchSize.Usual));
        var saddle = new RestingSaddle(field);
        PointMm load = new(Shapes.MidMm, seatLateralMm);

        var pose = saddle.Under(load);

        AssertLowest(field, load, pose);
        Assert.Equal(PoseKind.FreeToTilt, RestGaps.Of(field, pose).Pose);
        Assert.Equal(0, pose.PitchDeg, .3);
    }

    [Fact]
    public void Under_a_load_on_a_back_that_conforms_touches_everywhere_in_one_pose()
    {
        var tree = Shapes.FlatTree();
        var field = GapField.Over(Shapes.Back(Shapes.Roof(30), Shapes.Roof(30)), PanelPatches.Of(tree, Shapes.EvenPanel(25), PatchSize.Usual));

        var gaps = RestGaps.Of(field, new RestingSaddle(field).Under(new PointMm(Shapes.MidMm, 0)));

        Assert.Equal(0, gaps.MostMm, .001);
        Assert.Equal(PoseKind.Unique, gaps.Pose);
    }

    private static void AssertLowest(GapField field, PointMm load, Pose pose)
    {
        var patches = field.Patches;
        var touching = new List<PointMm>();
        for (var i = 0; i < patches.Count; i++)
        {
            var place = new PointMm(patches.PositionMm[i], patches.LateralMm[i]);
            var gap = field.GapMm[i] - pose.DropAt(place.X - patches.MidMm, place.Y);
            Assert.False(gap < -TouchingMm, $"It enters the skin by {-gap} mm.");
            if (gap < TouchingMm)
                touching.Add(place);
        }
        AssertCarries(touching, load);
    }

    // Forces without moment exist unless all that touches lies in one open half plane seen from the load.
    private static void AssertCarries(List<PointMm> touching, PointMm load)
    {
        double[] directions = [.. touching.Select(place => Math.Atan2(place.Y - load.Y, place.X - load.X)).Order()];
        Assert.NotEmpty(directions);
        var widest = (2 * Math.PI) + directions[0] - directions[^1];
        for (var i = 1; i < directions.Length; i++)
            widest = Math.Max(widest, directions[i] - directions[i - 1]);
        Assert.True(widest <= Math.PI + 1e-6, $"Nothing carries over {double.RadiansToDegrees(widest)} degrees around the load.");
    }
}
