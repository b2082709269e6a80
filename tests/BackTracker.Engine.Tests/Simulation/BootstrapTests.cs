using BackTracker.Engine.Simulation;

namespace BackTracker.Engine.Tests.Simulation;

public class BootstrapTests
{
    private static readonly double[] Values = [.. Enumerable.Range(0, 400).Select(i => Math.Pow(i % 37, 1.5) + (i % 5))];

    // The mean of n drawn with replacement has the standard error s/sqrt(n), s with n in the denominator, and is nearly normal at 400.
    [Fact]
    public void Mean_interval_is_that_of_the_standard_error()
    {
        var mean = Values.Average();
        var error = Math.Sqrt(Values.Average(value => (value - mean) * (value - mean)) / Values.Length);
        var estimate = Bootstrap.Mean(Values);
        Assert.Equal(mean, estimate.Value, 10);
        Assert.InRange((estimate.High - estimate.Low) / (2 * 1.96 * error), .93, 1.07);
        Assert.InRange((estimate.Low + estimate.High) / 2, mean - (.2 * error), mean + (.2 * error));
    }

    [Fact]
    public void Ratio_of_the_same_horses_is_certain_where_one_is_a_share_of_the_other()
    {
        var estimate = Bootstrap.Ratio([.. Values.Select(value => value / 4)], Values);
        Assert.Equal((.25, .25, .25), (Math.Round(estimate.Value, 12), Math.Round(estimate.Low, 12), Math.Round(estimate.High, 12)));
    }

    [Fact]
    public void Mean_of_equal_values_has_no_width_and_is_the_same_every_time()
    {
        Assert.Equal(new Estimate(3, 3, 3), Bootstrap.Mean([3, 3, 3, 3]));
        Assert.Equal(Bootstrap.Mean(Values), Bootstrap.Mean(Values));
    }
}
