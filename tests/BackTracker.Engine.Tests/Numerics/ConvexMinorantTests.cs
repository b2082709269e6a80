using BackTracker.Engine.Numerics;
using CsCheck;

namespace BackTracker.Engine.Tests.Numerics;

public class ConvexMinorantTests
{
    private static readonly Gen<double[][]> Drawings = Gen.Select(Gen.Double[.5, 20].Array[1, 40], Gen.Double[-50, 50].Array[40])
        .Select((steps, values) => new[] { steps.Select((_, i) => steps.Take(i + 1).Sum()).ToArray(), values[..steps.Length] });

    [Theory]
    [InlineData(new double[] { }, new double[] { }, new double[] { })]
    [InlineData(new[] { 3.0 }, new[] { 7.0 }, new[] { 7.0 })]
    [InlineData(new[] { 0.0, 1, 2, 3 }, new[] { 0.0, 5, 1, 0 }, new[] { 0.0, 0, 0, 0 })]
    [InlineData(new[] { 0.0, 1, 3, 4 }, new[] { 4.0, 1, 2, 8 }, new[] { 4.0, 1, 2, 8 })]
    [InlineData(new[] { 0.0, 1, 2, 4 }, new[] { 0.0, 2, 1, 4 }, new[] { 0.0, .5, 1, 4 })]
    [InlineData(new[] { 0.0, 1, 2 }, new[] { 0.0, 1, 2 }, new[] { 0.0, 1, 2 })]
    public void Of_small_drawings_gives_the_string_below_them(double[] x, double[] y, double[] minorant) => Assert.Equal(minorant, ConvexMinorant.Of(x, y));

    [Fact]
    public void Of_any_points_is_the_highest_chord_free_lower_bound() => Drawings.Sample(drawing =>
    {
        var (x, y) = (drawing[0], drawing[1]);
        var minorant = ConvexMinorant.Of(x, y);
        for (var i = 0; i < x.Length; i++)
        {
            // By definition: the lowest chord over the place, taken between any two points on either side of it.
            var lowest = y[i];
            for (var a = 0; a < i; a++)
                for (var b = i + 1; b < x.Length; b++)
                    lowest = Math.Min(lowest, y[a] + ((y[b] - y[a]) * (x[i] - x[a]) / (x[b] - x[a])));
            Assert.Equal(lowest, minorant[i], 1e-9);
        }
    });

    [Fact]
    public void Of_tilted_points_is_tilted_by_as_much() => Gen.Select(Drawings, Gen.Double[-2, 2]).Sample((drawing, slope) =>
    {
        var (x, y) = (drawing[0], drawing[1]);
        var plain = ConvexMinorant.Of(x, y);
        var tilted = ConvexMinorant.Of(x, [.. y.Select((value, i) => value + (slope * x[i]))]);
        Assert.All(x.Index(), place => Assert.Equal(plain[place.Index] + (slope * place.Item), tilted[place.Index], 1e-9));
    });

    [Theory]
    [InlineData(new[] { 0.0, 0 }, new[] { 0.0, 1 })]
    [InlineData(new[] { 1.0, 0 }, new[] { 0.0, 1 })]
    [InlineData(new[] { 0.0, double.NaN }, new[] { 0.0, 1 })]
    [InlineData(new[] { 0.0, 1 }, new[] { 0.0 })]
    public void Of_places_that_do_not_increase_or_match_is_refused(double[] x, double[] y) => Assert.Throws<ArgumentException>(() => ConvexMinorant.Of(x, y));
}
