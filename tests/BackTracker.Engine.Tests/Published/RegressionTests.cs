using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Published;

/// <summary>
/// Regressions of the NIST Statistical Reference Datasets (StRD, linear regression) as limits of the trend filters. A standard error scales
/// with the noise given to the filter, so the certified residual SD is given and the certified standard errors must come back.
/// </summary>
public class RegressionTests
{
    [Fact]
    public void LinearTrend_without_driving_noise_on_Norris_is_the_certified_line()
    {
        var file = PublishedValues.Read("nist_norris");
        var (x, y, certified) = (file.Numbers("x"), file.Numbers("y"), file["certified"]!);
        var noiseVar = certified.Number("rss") / (x.Length - 2);
        // Flat level; rate SD of 1e6 against a certified error of 4e-4: a ridge of 2e-19.
        var settings = new LinearTrendSettings
        {
            Sigma = 0,
            TauDays = double.PositiveInfinity,
            LevelMean = 0,
            LevelVar = double.PositiveInfinity,
            RateVar = 1e12,
        };

        var atZero = LinearTrend.On(settings, [.. x.Select((day, i) => new LinearObservation(day, y[i], noiseVar, []))], 0);

        Assert.Equal(certified.Number("b0"), atZero.Level, 1e-9);
        Assert.Equal(certified.Number("b1"), atZero.Rate, 1e-11);
        Assert.Equal(certified.Number("se_b0"), atZero.LevelSe, 1e-9);
        Assert.Equal(certified.Number("se_b1"), atZero.RateSe, 1e-12);
    }

    [Fact]
    public void LinearTrend_with_a_known_level_on_NoInt1_is_the_certified_slope()
    {
        var file = PublishedValues.Read("nist_noint1");
        var (x, y, certified) = (file.Numbers("x"), file.Numbers("y"), file["certified"]!);
        var noiseVar = certified.Number("rss") / (x.Length - 1);
        // No intercept: the level is exactly 0 on day 0.
        var settings = new LinearTrendSettings
        {
            Sigma = 0,
            TauDays = double.PositiveInfinity,
            LevelMean = 0,
            LevelVar = 0,
            RateVar = 1e10,
            PriorDay = 0,
        };

        var atZero = LinearTrend.On(settings, [.. x.Select((day, i) => new LinearObservation(day, y[i], noiseVar, []))], 0);

        Assert.Equal(0, atZero.Level, 1e-9);
        Assert.Equal(certified.Number("b1"), atZero.Rate, 1e-11);
        Assert.Equal(certified.Number("se_b1"), atZero.RateSe, 1e-12);
    }

    /// <summary>
    /// A parabola is no limit of a trend. Pontius exercises the static states of the filter instead: intercept, x and x^2 (scaled to 1 at the
    /// largest x, as it must be: raw x^2 is 1e13) as biases with wide priors, all observations on one day.
    /// </summary>
    [Fact]
    public void LinearTrend_with_static_states_on_Pontius_gives_the_certified_parabola()
    {
        var file = PublishedValues.Read("nist_pontius");
        var (x, y, certified) = (file.Numbers("x"), file.Numbers("y"), file["certified"]!);
        var (b, se) = (certified.Numbers("b"), certified.Numbers("se"));
        var (top, noiseVar) = (x.Max(), certified.Number("rss") / (x.Length - 3));

        var (coefficients, errors) = StaticRegression([.. x.Select(value => new[] { 1, value / top, value / top * (value / top) })], y, noiseVar);

        double[] powers = [1, top, top * top];
        for (var i = 0; i < 3; i++)
        {
            Assert.Equal(b[i], coefficients[i] / powers[i], Math.Abs(b[i]) * 1e-7);
            Assert.Equal(se[i], errors[i] / powers[i], se[i] * 1e-7);
        }
    }

    private static (double[] Coefficients, double[] Errors) StaticRegression(double[][] design, double[] y, double noiseVar)
    {
        var settings = new RobustSettings
        {
            DrivingVar = 0,
            RateVar = 0,
            TauDays = 1,
            LevelMean = 0,
            LevelVar = 0,
            StaticVars = [1e4, 1e4, 1e4],
            Surprises = default,
        };
        var pass = RobustFilter.Run(settings, [.. design.Select((row, i) => new RobustObservation(0, y[i], noiseVar, row))], []);
        return ([.. Enumerable.Range(2, 3).Select(i => pass.State[i])], [.. Enumerable.Range(2, 3).Select(i => Math.Sqrt(pass.Covariance(i, i)))]);
    }
}
