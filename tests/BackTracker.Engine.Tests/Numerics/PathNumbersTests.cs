using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Tests.Numerics;

public class PathNumbersTests
{
    private const int Draws = 512;

    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    public void Normals_every_dimension_has_one_draw_in_each_of_as_many_equally_likely_strata(int group)
    {
        for (var dimension = 0; dimension < 24; dimension++)
        {
            var strata = SobolDraws.Normals(group, dimension, Draws).Select(draw => (int)Math.Floor(Normal.Cdf(draw) * Draws)).Order();
            Assert.Equal(Enumerable.Range(0, Draws), strata);
        }
    }

    [Fact]
    public void Normals_first_two_dimensions_have_one_draw_in_each_rectangle_of_their_net()
    {
        var (first, second) = (SobolDraws.Normals(0, 0, 256), SobolDraws.Normals(0, 1, 256));
        foreach (var across in new[] { 2, 4, 16, 64 })
        {
            var down = 256 / across;
            var cells = first.Zip(second).Select(pair => ((int)(Normal.Cdf(pair.First) * across) * down) + (int)(Normal.Cdf(pair.Second) * down)).Order();
            Assert.Equal(Enumerable.Range(0, 256), cells);
        }
    }

    [Fact]
    public void Normals_dimensions_and_groups_know_nothing_of_each_other()
    {
        double[][] drawn = [.. from dimension in Enumerable.Range(0, 20) from kind in new[] { 0, 1, 5 } select SobolDraws.Normals(kind, dimension, Draws)];
        for (var i = 0; i < drawn.Length; i++)
        {
            for (var j = 0; j < i; j++)
                Assert.Equal(0, drawn[i].Zip(drawn[j]).Average(pair => pair.First * pair.Second), .2);
        }
    }

    [Fact]
    public void Of_as_many_columns_as_places_give_the_matrix_back()
    {
        double[,] matrix = { { 4, 2, 1 }, { 2, 9, -3 }, { 1, -3, 5 } };

        var columns = PivotedCholesky.Of((double[,])matrix.Clone(), 3);

        for (var i = 0; i < 3; i++)
            for (var j = 0; j < 3; j++)
                Assert.Equal(matrix[i, j], columns.Sum(column => column[i] * column[j]), 1e-12);
    }

    [Fact]
    public void Of_place_that_follows_another_leaves_the_other_columns_empty() =>
        Assert.All(PivotedCholesky.Of(new double[,] { { 4, 2 }, { 2, 1 } }, 2)[1], value => Assert.Equal(0, value));

    [Theory]
    [InlineData(double.NegativeInfinity)]
    [InlineData(-7.999)]
    [InlineData(-2.3456)]
    [InlineData(0)]
    [InlineData(.7071)]
    [InlineData(8)]
    [InlineData(double.PositiveInfinity)]
    public void RoughCdf_is_the_normal_to_a_millionth(double x) => Assert.Equal(double.IsInfinity(x) ? (x > 0 ? 1 : 0) : Normal.Cdf(x), Normal.RoughCdf(x), 1e-6);

    [Fact]
    public void Add_rows_of_any_length_add_up()
    {
        foreach (var length in new[] { 0, 1, 3, 4, 17 })
        {
            double[] into = [.. Enumerable.Range(0, length).Select(i => (double)i)];
            Rows.Add(into, 2, into.ToArray());
            Assert.Equal(Enumerable.Range(0, length).Select(i => 3.0 * i), into);
        }
    }
}
