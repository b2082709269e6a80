using BackTracker.Engine.Trends;
using CsCheck;

namespace BackTracker.Engine.Tests.Trends;

public class LinearTrendTests
{
    private static readonly Gen<(double[] Days, double[] Values, double Tau, double Sigma, double Report)> Problems =
        Gen.Select(
            Gen.Select(Gen.Double[0, 600], Gen.Double[-10, 10]).Array[1, 20],
            Gen.Double[10, 300],
            Gen.Double[.001, .05],
            Gen.Double[0, 900])
        .Select((points, tau, sigma, report) => (
            points.Select(point => point.Item1).Order().ToArray(), points.Select(point => point.Item2).ToArray(), tau, sigma, report));

    [Fact]
    public void On_any_day_equals_the_dense_Gaussian_solution() => Problems.Sample(problem =>
    {
        var (days, values, tau, sigma, report) = problem;
        var settings = new LinearTrendSettings
        {
            Sigma = sigma,
            TauDays = tau,
            LevelMean = 1,
            LevelVar = 100,
            RateVar = sigma * sigma * tau / 2,
            PriorDay = 0,
            Biases = [new StaticBias(0, 4)],
        };
        var designs = days.Select((_, i) => new[] { i % 3 / 2.0 }).ToArray();
        var dense = new DenseTrend(tau, sigma * sigma, 100, settings.RateVar)
            .Level(1, days, values, [.. days.Select(_ => 4.0)], designs, [4], report);
        LinearObservation[] observations = [.. days.Select((day, i) => new LinearObservation(day, values[i], 4, designs[i]))];

        var on = LinearTrend.On(settings, observations, report);

        Assert.Equal(dense.Level, on.Level, 1e-8);
        Assert.Equal(Math.Sqrt(dense.Var), on.LevelSe, 1e-8);
        Assert.Equal(dense.LogLikelihood, LinearTrend.LogLikelihood(settings, observations), 1e-8);
    });

    [Fact]
    public void On_a_flat_level_equals_an_ever_wider_one() => Problems.Sample(problem =>
    {
        var (days, values, tau, sigma, report) = problem;
        LinearObservation[] observations = [.. days.Select((day, i) => new LinearObservation(day, values[i], 4, []))];
        LinearTrendSettings Settings(double levelVar) => new()
        {
            Sigma = sigma,
            TauDays = tau,
            LevelMean = 0,
            LevelVar = levelVar,
            RateVar = sigma * sigma * tau / 2,
            PriorDay = 0,
        };

        var flat = LinearTrend.On(Settings(double.PositiveInfinity), observations, report);
        var wide = LinearTrend.On(Settings(1e10), observations, report);

        // Under the wide prior a variance v of the level is known to v/1e10 of itself, and 1e10 leaves about 1e-6 of rounding in it.
        Assert.Equal(wide.Level, flat.Level, 1e-5 * (1 + wide.LevelSe));
        Assert.Equal(wide.LevelSe, flat.LevelSe, 1e-5 * (1 + wide.LevelSe));
        Assert.Equal(wide.Covariance, flat.Covariance, 1e-5 * (1 + Math.Abs(wide.Covariance)));
    });

    /// <summary>A stationary rate looks the same backwards: telling a day before the data is forecasting the mirrored data.</summary>
    [Fact]
    public void On_a_day_before_the_data_equals_the_forecast_of_the_mirrored_data() => Problems.Sample(problem =>
    {
        var (days, values, tau, sigma, report) = problem;
        var settings = new LinearTrendSettings
        {
            Sigma = sigma,
            TauDays = tau,
            LevelMean = 0,
            LevelVar = double.PositiveInfinity,
            RateVar = sigma * sigma * tau / 2,
        };
        LinearObservation[] observations = [.. days.Select((day, i) => new LinearObservation(day, values[i], 4, []))];
        LinearObservation[] mirrored = [.. days.Select((day, i) => new LinearObservation(-day, values[i], 4, []))];

        var before = LinearTrend.On(settings, observations, days[0] - 1 - report);
        var after = LinearTrend.On(settings, mirrored, -days[0] + 1 + report);

        Assert.Equal(after.Level, before.Level, 1e-7);
        Assert.Equal(after.LevelSe, before.LevelSe, 1e-7);
        Assert.Equal(after.Rate, -before.Rate, 1e-8);
        Assert.Equal(after.Covariance, -before.Covariance, 1e-7);
    });

    [Fact]
    public void On_without_observations_and_with_a_flat_level_is_refused()
    {
        var settings = new LinearTrendSettings
        {
            Sigma = .01,
            TauDays = 60,
            LevelMean = 0,
            LevelVar = double.PositiveInfinity,
            RateVar = .01,
            PriorDay = 0,
        };

        Assert.Throws<ArgumentException>(() => LinearTrend.On(settings, [], 10));
    }

    [Fact]
    public void LogLikelihood_of_what_is_certain_beforehand_is_refused()
    {
        var settings = new LinearTrendSettings { Sigma = 0, TauDays = 60, LevelMean = 0, LevelVar = 0, RateVar = 0 };

        Assert.Throws<ArgumentException>(() => LinearTrend.LogLikelihood(settings, [new LinearObservation(0, 1, 0, [])]));
    }
}
