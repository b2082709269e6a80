using BackTracker.Engine.Measures;
using BackTracker.Service.Pictures;

namespace BackTracker.Service.Tests.Pictures;

public class ContourLinesTests
{
    // A cone over a grid of whole numbers, 0 to 20 either way.
    private static readonly PointMm[][] Grid = [.. Enumerable.Range(0, 21).Select(row => Enumerable.Range(0, 21).Select(column => new PointMm(column, row)).ToArray())];

    [Fact]
    public void Of_cone_is_one_closed_ring_at_its_radius()
    {
        var line = Assert.Single(ContourLines.Of(Grid, Pressures(Height), 4));

        Assert.Equal(line[0], line[^1]);
        // Between neighbours everything is straight, the cone is not: by a twentieth at most here.
        Assert.All(line, point => Assert.Equal(6, double.Hypot(point.X - 10, point.Y - 10), .1));
    }

    [Fact]
    public void Of_slope_is_one_line_from_edge_to_edge()
    {
        var line = Assert.Single(ContourLines.Of(Grid, Pressures(point => point.X), 7.5));

        Assert.Equal(21, line.Count);
        Assert.All(line, point => Assert.Equal(7.5, point.X, 1e-12));
        Assert.Equal([0, 20], new[] { line[0].Y, line[^1].Y }.Order());
    }

    [Fact]
    public void Of_level_nowhere_reached_or_patches_not_known_is_none()
    {
        Assert.Empty(ContourLines.Of(Grid, Pressures(Height), 30));
        Assert.Empty(ContourLines.Of(Grid, Pressures(_ => double.NaN), 4));
    }

    [Fact]
    public void Of_patches_not_known_in_the_middle_breaks_the_line() =>
        Assert.Equal(2, ContourLines.Of(Grid, Pressures(point => point.Y == 10 ? double.NaN : point.X), 7.5).Count);

    [Theory]
    [InlineData(1, 1.5, "7-8 10-11")]
    [InlineData(0.5, 9, "6-13")]
    [InlineData(3, 9, "")]
    public void PressureBands_of_a_ridge_are_cut_where_it_crosses(double from, double below, string stretches)
    {
        (double, double)[] strip = [(5, 0), (7, 1), (9, 2), (11, 1), (13, .5), (15, 0)];

        var found = PressureBands.Of(strip, pressure => pressure >= from && pressure < below, from, below).ToList();

        Assert.Equal(stretches, string.Join(' ', found.Select(stretch => $"{stretch.FromMm:0.##}-{stretch.ToMm:0.##}")));
    }

    [Fact]
    public void PressureBands_on_the_left_run_outwards_too_and_leave_out_what_is_not_known()
    {
        (double, double)[] strip = [(-40, 2), (-50, 2), (-60, double.NaN), (-70, 2)];

        var found = PressureBands.Of(strip, pressure => pressure >= 1, 1).ToList();

        Assert.Equal([(-35, -55), (-65, -75)], found);
    }

    private static double Height(PointMm point) => 10 - double.Hypot(point.X - 10, point.Y - 10);

    private static double[][] Pressures(Func<PointMm, double> at) => [.. Grid.Select(row => row.Select(at).ToArray())];
}
