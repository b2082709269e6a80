using BackTracker.Engine.Numerics;
using CsCheck;

namespace BackTracker.Engine.Tests.Numerics;

public class MonotoneCubicTests
{
    // Values computed once with scipy.interpolate.PchipInterpolator, SciPy 1.10.1 (Debian 12); beyond the ends our own rule, the value of the end.
    [Theory]
    [InlineData(
        new[] { -60.0, 0, 35, 100, 240, 260 }, new[] { 3.0, 3, -4, 20, 21, -15 }, new[] { -60.0, -35, 12, 50, 150, 239, 250, 259, 260, 300, -61 },
        new[] { 3.0, 3, 1.0956734693877548, -.7978528056245972, 20.61962349626072, 20.99996026735364, 8.064732142857146, -12.910631696428563, -15, -15, 3 })]
    [InlineData(
        new[] { 0.0, 1, 3, 10 }, new[] { 0.0, 10, 11, -30 }, new[] { .2, .5, .9, 2, 5, 9.5 },
        new[] { 2.691450980392157, 6.513480392156863, 9.752735294117645, 10.764705882352942, 7.280531260123097, -24.74552559118885 })]
    [InlineData(new[] { 0.0, 2, 3 }, new[] { 5.0, 1, 9 }, new[] { .5, 1, 1.9, 2.5, 2.9 }, new[] { 2.6875, 1.5, 1.000500000000002, 3.583333333333333, 7.858 })]
    [InlineData(
        new[] { 0.0, 1, 2.5, 4, 7, 11 }, new[] { 0.0, 1, 4, 4, 2, -8 }, new[] { .3, 1.7, 3, 5.5, 10 },
        new[] { .22202608695652173, 2.6099323671497587, 4, 3.3841463414634148, -4.634037456445993 })]
    [InlineData(new[] { 2.0, 6 }, new[] { 1.0, 3 }, new[] { 1.0, 3, 5, 7 }, new[] { 1.0, 1.5, 2.5, 3 })]
    [InlineData(new[] { 2.0 }, new[] { 7.0 }, new[] { -1.0, 2, 9 }, new[] { 7.0, 7, 7 })]
    public void At_places_equals_an_independent_computation(double[] x, double[] y, double[] at, double[] values)
    {
        var curve = new MonotoneCubic(x, y);

        Assert.All(at.Index(), place => Assert.Equal(values[place.Index], curve.At(place.Item), 1e-12));
        Assert.All(at.Index(), place => Assert.Equal(values[place.Index], MonotoneCubic.Once(x, y, place.Item), 1e-12));
    }

    [Fact]
    public void At_any_place_stays_between_the_values_on_either_hand() =>
        Gen.Select(Gen.Double[.5, 20].Array[8], Gen.Double[-50, 50].Array[8], Gen.Double[0, 1]).Sample((steps, y, share) =>
        {
            var x = steps.Select((_, i) => steps.Take(i + 1).Sum()).ToArray();
            var curve = new MonotoneCubic(x, y);
            for (var i = 0; i + 1 < x.Length; i++)
            {
                var value = curve.At(x[i] + (share * (x[i + 1] - x[i])));
                Assert.InRange(value, Math.Min(y[i], y[i + 1]) - 1e-9, Math.Max(y[i], y[i + 1]) + 1e-9);
            }
        });

    [Fact]
    public void At_points_on_a_line_stays_on_it() =>
        Gen.Select(Gen.Double[.5, 20].Array[6], Gen.Double[-3, 3], Gen.Double[0, 1]).Sample((steps, slope, share) =>
        {
            var x = steps.Select((_, i) => steps.Take(i + 1).Sum()).ToArray();
            var at = x[0] + (share * (x[^1] - x[0]));
            Assert.Equal(slope * at, new MonotoneCubic(x, [.. x.Select(place => slope * place)]).At(at), 1e-10);
        });

    [Theory]
    [InlineData(new double[] { }, new double[] { })]
    [InlineData(new[] { 0.0, 1 }, new[] { 0.0 })]
    [InlineData(new[] { 0.0, 0 }, new[] { 0.0, 1 })]
    [InlineData(new[] { 0.0, double.NaN }, new[] { 0.0, 1 })]
    public void MonotoneCubic_places_that_do_not_increase_or_match_are_refused(double[] x, double[] y) =>
        Assert.Throws<ArgumentException>(() => new MonotoneCubic(x, y));
}
