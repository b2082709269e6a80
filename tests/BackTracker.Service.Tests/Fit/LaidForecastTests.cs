using System.Text.Json.Nodes;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Fit;

public sealed class LaidForecastTests
{
    [Fact]
    public async Task Forecast_sinkingBack_namesTheFindingStationAndSideThatGoFirst()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(6, i => new() { DipMm = 18 + i, RightLargerPct = 1.5 });

        var (forecast, fit) = (await yard.ForecastAsync(), await yard.FitAsync());
        var driver = forecast["driver"]!;

        Assert.Equal(("bridging@left", "bridging", "T13", "left"), (Text(driver["key"]), Text(driver["measure"]), Text(driver["station"]), Text(driver["side"])));
        Assert.Equal(Text(TracedYard.Finding(fit, "bridging@left")["text"]), Text(driver["text"]));
        Assert.Equal("T13", Text(forecast["drivenBy"]));
    }

    [Fact]
    public async Task Forecast_givesEveryDayOfTheHorizonForEveryMeasureThatMoves()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new());

        var forecast = await yard.ForecastAsync("?horizonDays=60");
        var measures = forecast["measures"]!.AsArray();

        Assert.All(measures.Append(forecast["overall"]), risk => Assert.Equal(Enumerable.Range(0, 61), risk!["days"]!.AsArray().Select(day => day!["daysAhead"]!.GetValue<int>())));
        Assert.DoesNotContain(measures, risk => Text(risk!["measure"]).StartsWith("asymmetry", StringComparison.Ordinal));
        double Last(JsonNode? risk) => risk!["days"]![60]!["probabilityOutBy"]!.GetValue<double>();
        // What stands (channel, reach, shoulder room) is a finding of today and enters no overall risk.
        var moving = measures.Where(risk => Text(risk!["measure"]) is not ("channel" or "reach" or "shoulder-room")).ToList();
        Assert.InRange(Last(forecast["overall"]), moving.Max(Last), 1 - moving.Aggregate(1.0, (inside, risk) => inside * (1 - Last(risk))) + 1e-9);
        Assert.True(Last(measures.Single(risk => Text(risk!["measure"]) == "reach")) > Last(forecast["overall"]));
    }

    [Fact]
    public async Task Forecast_asOfAnEarlierDay_looksAtNothingLater()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new());
        var then = yard.TodayText;
        var before = await yard.ForecastAsync();
        service.Clock.Advance(TimeSpan.FromDays(28));
        await yard.MeasureAsync(new() { DipMm = 30 });

        Assert.Equal(before.Text, (await yard.ForecastAsync($"?asOf={then}")).Text);
        Assert.NotEqual(before.Text, (await yard.ForecastAsync()).Text);
    }

    private static string Text(JsonNode? node) => node!.GetValue<string>();
}
