using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Tests.Numerics;

public class JointNumbersTests
{
    // Closed form: two standard normals with correlation r are both above zero with probability 1/4 + asin(r) / 2 pi.
    [Theory]
    [InlineData(0)]
    [InlineData(.5)]
    [InlineData(-.8)]
    [InlineData(.95)]
    public void Draws_of_two_correlated_normals_meet_the_orthant_probability(double correlation)
    {
        const int points = 2048;
        var lower = Cholesky.Of(new[,] { { 1, correlation }, { correlation, 1 } });
        var (a, b) = (EvenDraws.Normals(3, points), EvenDraws.Normals(4, points));
        var both = Enumerable.Range(0, points).Count(i => a[i] * lower[0, 0] > 0 && (a[i] * lower[1, 0]) + (b[i] * lower[1, 1]) > 0);
        Assert.Equal(.25 + (Math.Asin(correlation) / (2 * Math.PI)), both / (double)points, .012);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(7)]
    [InlineData(40)]
    public void Normals_of_every_coordinate_are_standard(int coordinate)
    {
        var normals = EvenDraws.Normals(coordinate, 2048);
        Assert.Equal(0, normals.Average(), 1e-12);
        Assert.Equal(1, normals.Average(z => z * z), .003);
    }

    [Fact]
    public void Cholesky_of_findings_that_are_the_same_leaves_nothing_for_the_second()
    {
        var lower = Cholesky.Of(new[,] { { 1.0, 1, .3 }, { 1, 1, .3 }, { .3, .3, 1 } });
        Assert.Equal((1, 0.0, Math.Sqrt(.91)), (lower[1, 0], lower[1, 1], lower[2, 2]));
    }

    // The third-degree rule: means of all squares and products are those of a standard normal vector, and no coordinate lies beyond sqrt 2.
    [Theory]
    [InlineData(1)]
    [InlineData(16)]
    [InlineData(23)]
    public void Cubature_points_have_the_moments_of_a_standard_normal_vector(int dimensions)
    {
        var points = Cubature.Points(dimensions);
        for (var a = 0; a < dimensions; a++)
        {
            for (var b = 0; b <= a; b++)
                Assert.Equal(a == b ? 1 : 0, points.Average(point => point[a] * point[b]), 1e-12);
        }
        Assert.All(points, point => Assert.True(point.Max(Math.Abs) <= Math.Sqrt(2) + 1e-12));
    }

    // Against the monotone cubic itself, which is held to values of SciPy elsewhere.
    [Fact]
    public void CubicAcross_equals_the_monotone_cubic_for_any_values()
    {
        var random = new Random(7);
        for (var round = 0; round < 500; round++)
        {
            var knots = 2 + (round % 3);
            double[] x = [.. Enumerable.Range(0, knots).Select(i => (100 * i) + (90 * random.NextDouble()))], y = [.. x.Select(_ => 50 * random.NextDouble())];
            var before = random.Next(knots - 1);
            var at = double.Lerp(x[before], x[before + 1], random.NextDouble());
            Assert.Equal(MonotoneCubic.Once(x, y, at), new CubicAcross(x, before, at).At(y), 1e-9);
        }
    }

    // Mean and tail of max(0, 2 a + b) for standard normal a and b: closed forms of a normal of variance 5 cut at 0.
    [Fact]
    public void DrawnVariable_with_its_line_meets_the_normal_it_is_cut_from()
    {
        double[] slopes = [2, 1];
        double[][] normals = [EvenDraws.Normals(0, 256), EvenDraws.Normals(1, 256)];
        double[] values = [.. Enumerable.Range(0, 256).Select(i => Math.Max(0, (2 * normals[0][i]) + normals[1][i]))];
        var drawn = DrawnVariable.Of(values, normals, slopes);

        Assert.Equal(.5 * Math.Sqrt(5) / Math.Sqrt(Math.PI / 2), drawn.Mean, .01);
        Assert.Equal(1 - Normal.Cdf(2 / Math.Sqrt(5)), drawn.ProbabilityAbove(2, 1e-3), .012);
        Assert.Equal((1, 0.0), (drawn.ProbabilityAbove(double.NegativeInfinity, 1), drawn.ProbabilityAbove(double.PositiveInfinity, 1)));
        Assert.Equal(drawn.Mean + 4, drawn.Towards(drawn, .3, 4).Mean, 1e-12);
        Assert.Equal(drawn.ProbabilityAbove(2, 1), drawn.Towards(drawn, .3, 4).ProbabilityAbove(6, 1), 1e-12);
    }
}
