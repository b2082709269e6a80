using System.Text.Json.Nodes;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Published;

/// <summary>
/// Annual flow of the Nile 1871-1970 with the variances of Durbin and Koopman 2012, Time Series Analysis by State Space Methods, chapter 2:
/// the trend with a rate that is forgotten at once is their local level.
/// </summary>
public class NileTests
{
    private const double Tau = 1e-6;

    [Fact]
    public void LogLikelihood_that_forgets_its_rate_is_the_local_level_at_the_published_variances()
    {
        var file = PublishedValues.Read("nile_local_level");

        var logLikelihood = LinearTrend.LogLikelihood(LocalLevel(file["published"]!), Observations(file, file["published"]!));

        Assert.Equal(file["computed"]!.Number("diffuse_loglik_at_published"), logLikelihood, 1e-5);
    }

    [Fact]
    public void On_the_last_year_is_the_filtered_level_at_the_estimated_variances()
    {
        var file = PublishedValues.Read("nile_local_level");
        var computed = file["computed"]!;

        var last = LinearTrend.On(LocalLevel(computed), Observations(file, computed), file.Numbers("y").Length - 1);

        Assert.Equal(computed.Number("filtered_level_1970"), last.Level, 1e-4);
        Assert.Equal(computed.Number("filtered_var_1970_update"), last.LevelSe * last.LevelSe, 1e-2);
    }

    private static LinearTrendSettings LocalLevel(JsonNode variances)
    {
        var sigma = Math.Sqrt(variances.Number("sigma_eta2")) / Tau;
        return new LinearTrendSettings
        {
            Sigma = sigma,
            TauDays = Tau,
            LevelMean = 0,
            LevelVar = double.PositiveInfinity,
            RateVar = sigma * sigma * Tau / 2,
        };
    }

    private static LinearObservation[] Observations(JsonNode file, JsonNode variances) =>
        [.. file.Numbers("y").Select((flow, i) => new LinearObservation(i, flow, variances.Number("sigma_eps2"), []))];
}
