using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Yards;

/// <summary>What the board shows first of a saddle, and which width it follows. T18 is found again within 34 mm, so that a tree that ends 20 mm before it may well end past it.</summary>
public sealed class BoardTests
{
    [Fact]
    public async Task Board_widthAndReachAreBothWatched_showsTheWidthAndFollowsItsTrend()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(6, _ => new() { WiderMm = 20 });

        var line = await LineAsync(service, yard);
        var fit = await yard.FitAsync();

        Assert.Equal("watch", Text(TracedYard.Finding(fit, "reach")["severity"]));
        Assert.Equal(("width", "T13", "watch"), Worst(line));
        Assert.Equal("T13.width150", Text(line["trend"]!["metric"]));
    }

    [Fact]
    public async Task Board_onlyReachIsWatched_showsItAndFollowsWhatIsForecastToGoFirst()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(6, _ => new());

        var line = await LineAsync(service, yard);

        Assert.Equal(("reach", null, "watch"), Worst(line));
        Assert.EndsWith(".width150", Text(line["trend"]!["metric"]), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Board_nothingIsWatched_showsWhatMovesWithTheBack()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        var path = $"/v1/pairings/{yard.PairingId}";
        var roomy = new { horseId = yard.HorseId, saddleId = yard.SaddleId, from = yard.TodayText, treeFrontFromT8Mm = TracedBack.FrontMm, tolerances = new { limits = new { reach = new { watchAbove = 20, outAbove = 30 } } } };
        (await service.Admin.PutAsync(path, roomy, ("If-Match", (await service.Admin.GetAsync(path)).Etag))).Should(HttpStatusCode.OK);
        await yard.MeasureOftenAsync(6, _ => new());

        var line = await LineAsync(service, yard);

        Assert.Equal("ok", Worst(line).Severity);
        Assert.DoesNotContain(Worst(line).Measure, new[] { "reach", "channel", "shoulder-room" });
        Assert.EndsWith(".width150", Text(line["trend"]!["metric"]), StringComparison.Ordinal);
    }

    // Traces that end 120 mm down: there is no width at 150 mm to follow.
    [Fact]
    public async Task Board_noWidthAt150_followsTheLowestWidth()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { LowestMm = 125 });

        Assert.EndsWith(".width120", Text((await LineAsync(service, yard))["trend"]!["metric"]), StringComparison.Ordinal);
    }

    private static async Task<JsonNode> LineAsync(RunningService service, TracedYard yard)
    {
        await service.SettledAsync();
        return (await service.Admin.GetAsync($"/v1/yards/{yard.YardId}/board"))["horses"]![0]!;
    }

    private static (string Measure, string? Station, string Severity) Worst(JsonNode line) =>
        line["pairings"]![0]!["worstFinding"] is { } worst ? (Text(worst["measure"]), worst["station"]?.GetValue<string>(), Text(worst["severity"])) : default;

    private static string Text(JsonNode? node) => node!.GetValue<string>();
}
