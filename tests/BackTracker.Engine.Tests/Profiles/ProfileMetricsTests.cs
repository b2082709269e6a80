using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using CsCheck;

namespace BackTracker.Engine.Tests.Profiles;

public class ProfileMetricsTests
{
    // Greve and Dyson 2014, Equine Vet J 46 suppl., doi 10.1111/evj.12267_161: 3 and 15 cm below the dorsal midline.
    [Fact]
    public void WidthMm_at_published_levels_meets_the_closed_forms()
    {
        Assert.Equal((30, 150), (ProfileMetrics.UpperDepthMm, ProfileMetrics.LowerDepthMm));
        var circle = Backs.Measure(Backs.Circle(170));
        Assert.Equal(2 * Math.Sqrt((2 * 170 * 30) - (30 * 30)), circle.WidthMm(30), .04);
        Assert.Equal(2 * Math.Sqrt((2 * 170 * 150) - (150 * 150)), circle.WidthMm(150), .04);
        var roof = Backs.Measure(Backs.Roof(50));
        Assert.Equal(.2, roof.ShapeRatio, 1e-12);
        Assert.Equal(50, roof.AngleDeg, 1e-12);
        Assert.Equal(0, roof.FillMm2, 1e-9);
    }

    [Theory]
    [InlineData(5)]
    [InlineData(10)]
    [InlineData(15)]
    public void DepthAt_between_points_errs_by_the_sag_of_the_chord(double step)
    {
        // A chord of length h on a circle of radius R lies h^2/8R below it: 0.17 mm for 15 mm on 170 mm.
        const double radius = 170;
        var angle = 2 * Math.Asin(step / 2 / radius);
        PointMm[] trace = [.. Enumerable.Range(-12, 25).Select(i => (i + .5) * angle).Where(a => Math.Abs(a) < 1.2)
            .Select(a => new PointMm(radius * Math.Sin(a), radius * (1 - Math.Cos(a))))];

        var sag = Backs.Read([.. trace, .. Backs.Circle(radius).Where(p => p.X > trace[^1].X + 3)]).DepthShiftMm;

        Assert.Equal(step * step / 8 / radius, sag, .002);
    }

    [Fact]
    public void Metrics_mirrored_swap_sides() => Backs.Drawn.Sample(trace =>
    {
        var plain = Backs.Measure(trace);
        var mirrored = Backs.Measure([.. trace.Reverse().Select(point => point with { X = -point.X })]);

        var (left, right) = Backs.Numbers(plain);
        Backs.AssertSame(right, Backs.Numbers(mirrored).Left, 1e-12);
        Backs.AssertSame(left, Backs.Numbers(mirrored).Right, 1e-12);
        Backs.AssertSame([plain.WidthMm(30), plain.ShapeRatio, plain.AngleDeg, plain.FillMm2, -plain.AsymmetryPct(30)],
            [mirrored.WidthMm(30), mirrored.ShapeRatio, mirrored.AngleDeg, mirrored.FillMm2, mirrored.AsymmetryPct(30)], 1e-12);
        Assert.Equal(plain.Warnings, mirrored.Warnings);
    });

    [Fact]
    public void Metrics_drawn_backwards_are_the_same() => Backs.Drawn.Sample(trace =>
    {
        var plain = Backs.Measure(trace);
        var backwards = Backs.Measure([.. trace.Reverse()]);

        Backs.AssertSame(Backs.Numbers(plain).Left, Backs.Numbers(backwards).Left, 1e-12);
        Backs.AssertSame(Backs.Numbers(plain).Right, Backs.Numbers(backwards).Right, 1e-12);
        Assert.Equal([.. plain.Warnings, TraceWarning.Reversed], backwards.Warnings);
    });

    [Fact]
    public void Metrics_of_depths_scaled_scale_with_them() => Gen.Select(Backs.Drawn, Gen.Double[.5, 1.2]).Sample((trace, factor) =>
    {
        var plain = Backs.Measure(trace);
        var scaled = Backs.Measure([.. trace.Select(point => point with { Y = factor * point.Y })]);

        Backs.AssertSame(
            [plain.HalfLeftMm(40), plain.WidthMm(100), plain.AsymmetryPct(25), factor * plain.FillMm2, factor * Tan(plain.AngleLeftDeg)],
            [scaled.HalfLeftMm(40 * factor), scaled.WidthMm(100 * factor), scaled.AsymmetryPct(25 * factor), scaled.FillMm2, Tan(scaled.AngleLeftDeg)], 1e-10);
    });

    [Fact]
    public void Metrics_points_repeated_or_added_on_the_line_change_nothing() => Gen.Select(Backs.Drawn, Gen.Double[.1, .9]).Sample((trace, share) =>
    {
        var plain = Backs.Numbers(Backs.Measure(trace));
        PointMm[] more = [.. trace.SelectMany((p, i) => i + 1 == trace.Length ? [p, p]
            : new[] { p, p, new PointMm(double.Lerp(p.X, trace[i + 1].X, share), double.Lerp(p.Y, trace[i + 1].Y, share)) })];

        var same = Backs.Numbers(Backs.Measure(more));

        Backs.AssertSame(plain.Left, same.Left, 1e-9);
        Backs.AssertSame(plain.Right, same.Right, 1e-9);
    });

    [Fact]
    public void Metrics_trace_that_ends_early_leaves_out_what_it_does_not_reach()
    {
        var metrics = Backs.Measure([.. Backs.Power(58, 140).Where(point => point.X <= 100)]);

        Assert.Equal(double.NaN, metrics.WidthMm(150));
        Assert.Equal(double.NaN, metrics.AsymmetryPct(150));
        Assert.Equal(double.NaN, metrics.ShapeRatio);
        Assert.Equal(double.NaN, metrics.AngleRightDeg);
        Assert.Equal(double.NaN, metrics.AngleDeg);
        Assert.Equal(double.NaN, metrics.FillMm2);
        Assert.True(metrics.AngleLeftDeg > 40 && metrics.FillLeftMm2 > 1000 && metrics.HalfLeftMm(150) > 130);
        Assert.Equal([TraceWarning.Depth150NotReached], metrics.Warnings);
    }

    // Drawing errors on even backs without marks: the width and the mean angle hardly move, the sides do.
    [Theory]
    [InlineData(52, 135, 5, 0, 105.2, 270.6, 19, 7)]
    [InlineData(52, 135, 0, 2, 104.2, 270.3, -11, -11)]
    [InlineData(85, 160, 5, 0, 170.1, 320.0, 12, 6)]
    [InlineData(85, 160, 0, 2, 170.2, 320.3, -10, -9)]
    public void Metrics_of_a_crooked_paper_err_as_the_method_says(
        double half30, double half150, double shift, double turn, double width30, double width150, double asymmetry30, double asymmetry150)
    {
        var metrics = Backs.Measure(Backs.Power(half30, half150, 1).Moved(turn, shift));

        Assert.Equal(width30, metrics.WidthMm(30), .1);
        Assert.Equal(width150, metrics.WidthMm(150), .1);
        Assert.Equal(asymmetry30, metrics.AsymmetryPct(30), .6);
        Assert.Equal(asymmetry150, metrics.AsymmetryPct(150), .6);
        Assert.Equal(Backs.Measure(Backs.Power(half30, half150, 1)).AngleDeg, metrics.AngleDeg, .3);
    }

    private static double Tan(double deg) => Math.Tan(double.DegreesToRadians(deg));
}
