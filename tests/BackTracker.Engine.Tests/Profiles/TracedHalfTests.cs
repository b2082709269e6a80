using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;

namespace BackTracker.Engine.Tests.Profiles;

public class TracedHalfTests
{
    // Out to 40, back to 20 (deeper), out again: a pen set back.
    private static readonly TracedHalf SetBack = new([new PointMm(40, 20), new PointMm(20, 40), new PointMm(60, 80)]);

    [Theory]
    [InlineData(0, 0)]
    [InlineData(20, 10)]
    [InlineData(40, 20)]
    [InlineData(50, 70)]
    [InlineData(60, 80)]
    [InlineData(60.001, double.NaN)]
    [InlineData(-1, double.NaN)]
    [InlineData(double.NaN, double.NaN)]
    public void DepthAt_takes_the_place_met_first_and_never_extrapolates(double offset, double depth) => Assert.Equal(depth, SetBack.DepthAt(offset), 1e-12);

    [Theory]
    [InlineData(0, 0)]
    [InlineData(10, 20)]
    [InlineData(30, 30)]
    [InlineData(60, 40)]
    [InlineData(80, 60)]
    [InlineData(81, double.NaN)]
    [InlineData(-1, double.NaN)]
    public void OffsetAt_takes_the_place_met_first_and_never_extrapolates(double depth, double offset) => Assert.Equal(offset, SetBack.OffsetAt(depth), 1e-12);

    [Fact]
    public void OffsetAt_above_the_midline_point_is_found_where_the_flank_rises()
    {
        var dented = new TracedHalf([new PointMm(20, -10), new PointMm(60, 30)]);

        Assert.Equal(10, dented.OffsetAt(-5), 1e-12);
        Assert.Equal(30, dented.OffsetAt(0.0000001), 1e-6);
        Assert.Equal(double.NaN, dented.OffsetAt(-11));
    }

    [Theory]
    [InlineData(10, 0)]
    [InlineData(30, 0)]
    [InlineData(100, 0)]
    public void SpreadAt_depth_passed_once_or_never_is_none(double depth, double spread) => Assert.Equal(spread, SetBack.SpreadAt(depth), 1e-12);

    [Fact]
    public void SpreadAt_depth_passed_again_is_how_far_apart_the_places_are()
    {
        var loop = new TracedHalf([new PointMm(40, 40), new PointMm(44, 20), new PointMm(80, 50)]);
        var ledge = new TracedHalf([new PointMm(30, 30), new PointMm(50, 30), new PointMm(80, 60)]);

        Assert.Equal(56 - 30, loop.SpreadAt(30), 1e-12);
        Assert.Equal(20, ledge.SpreadAt(30), 1e-12);
        Assert.Equal(30, ledge.OffsetAt(30), 1e-12);
    }

    [Fact]
    public void AreaOverChord_of_known_polygons_is_theirs()
    {
        // A ledge of 60 mm, then down to (120, 60): half of 60 x 60 above the chord; turned about the middle of the chord it is hollow by as much.
        Assert.Equal(1800, new TracedHalf([new PointMm(60, 0), new PointMm(120, 60)]).AreaOverChord(120), 1e-9);
        Assert.Equal(-1800, new TracedHalf([new PointMm(60, 60), new PointMm(120, 60)]).AreaOverChord(120), 1e-9);
        Assert.Equal(0, new TracedHalf([new PointMm(150, 75)]).AreaOverChord(120), 1e-9);
        Assert.Equal(double.NaN, new TracedHalf([new PointMm(119, 60)]).AreaOverChord(120));
        Assert.Equal(double.NaN, new TracedHalf([]).AreaOverChord(120));
    }

    [Fact]
    public void TracedHalf_point_that_is_none_is_refused() =>
        Assert.Throws<ArgumentException>(() => new TracedHalf([new PointMm(10, double.NaN)]));
}
