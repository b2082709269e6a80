using BackTracker.Engine.Sections;
using CsCheck;

namespace BackTracker.Engine.Tests.Sections;

public class ModelHalvesTests
{
    private static readonly double[] Depths = [30, 60, 90, 120, 150];

    [Fact]
    public void CubicHalf_passes_through_its_half_widths_and_ends_with_them()
    {
        var half = new CubicHalf([52, 78, 100, 119, 136], Depths);
        Assert.Equal(0, half.DepthAt(0));
        Assert.Equal(90, half.DepthAt(100), 1e-9);
        Assert.Equal(119, half.OffsetAt(120), 1e-9);
        Assert.True(double.IsNaN(half.DepthAt(136.1)) && double.IsNaN(half.OffsetAt(150.1)) && double.IsNaN(half.OffsetAt(-1)));
    }

    // Closed forms: a parabola (power 2), backs that are sharper, and a roof (power 1).
    [Theory]
    [InlineData(2, .1)]
    [InlineData(1.8, .45)]
    [InlineData(1.55, .8)]
    [InlineData(1, .6)]
    public void CubicHalf_keeps_close_to_backs_of_closed_form(double power, double withinMm)
    {
        var half = new CubicHalf([.. Depths.Select(depth => 136 * Math.Pow(depth / 150, 1 / power))], Depths);
        // A panel begins some 40 mm from the midline.
        for (var s = 38.0; s < 136; s += 1)
            Assert.Equal(150 * Math.Pow(s / 136, power), half.DepthAt(s), withinMm);
    }

    [Fact]
    public void CubicHalf_offset_and_depth_undo_each_other() =>
        Gen.Double[8, 30].Array[5].Select(Gen.Double[0, 150], (steps, depth) => (steps, depth)).Sample(given =>
        {
            var sum = 20.0;
            var half = new CubicHalf([.. given.steps.Select(step => sum += step)], Depths);
            // Compared as offsets: where the half hardly widens, a hair of offset is much depth.
            var offset = half.OffsetAt(given.depth);
            Assert.Equal(offset, half.OffsetAt(half.DepthAt(offset)), 1.5);
        });

    // Noise may turn two half widths round: a section never runs back on itself.
    [Fact]
    public void CubicHalf_half_width_that_does_not_exceed_the_one_above_is_set_beyond_it()
    {
        var half = new CubicHalf([52, 78, 77, 119, 136], Depths);
        Assert.Equal(90, half.DepthAt(78.5), 1e-9);
    }

    // Closed form of the power section: exponent ln 5 / ln(w150 / w30).
    [Theory]
    [InlineData(104, 270)]
    [InlineData(170, 320)]
    public void PowerHalf_passes_through_both_widths_by_the_closed_form(double width30, double width150)
    {
        var half = new PowerHalf(width30 / 2, 30, width150 / 2, 150);
        var power = Math.Log(5) / Math.Log(width150 / width30);
        Assert.Equal(30, half.DepthAt(width30 / 2), 1e-9);
        Assert.Equal(width150 / 2, half.OffsetAt(150), 1e-9);
        Assert.Equal(150 * Math.Pow(80 / (width150 / 2), power), half.DepthAt(80), 1e-9);
        Assert.Equal(80, half.OffsetAt(half.DepthAt(80)), 1e-9);
        Assert.True(double.IsNaN(half.DepthAt((width150 / 2) + .1)));
    }
}
