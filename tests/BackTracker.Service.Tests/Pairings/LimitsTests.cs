using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Pairings;

public sealed class LimitsTests
{
    [Fact]
    public async Task Limits_ofAPairing_fillUpWithTheDefaultsAndDecideTheSeverity()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { DipMm = 21 });
        Assert.Equal("ok", TracedYard.Finding(await yard.FitAsync(), "bridging@left")["severity"]!.GetValue<string>());

        var changed = (await SetAsync(service, yard, """{"bridging":{"watchAbove":1,"outAbove":1.5},"spine-clearance":{"outBelow":10}}""")).Should(HttpStatusCode.OK);
        var finding = TracedYard.Finding(await yard.FitAsync(), "bridging@left");

        Assert.Equal("out", finding["severity"]!.GetValue<string>());
        Assert.Equal("""{"outBelow":null,"watchBelow":null,"watchAbove":1,"outAbove":1.5}""", finding["limits"]!.ToJsonString());
        var limits = changed["tolerances"]!["limits"]!;
        Assert.Equal("""{"outBelow":null,"watchBelow":null,"watchAbove":1,"outAbove":1.5}""", limits["bridging"]!.ToJsonString());
        Assert.Equal("""{"outBelow":10,"watchBelow":21,"watchAbove":null,"outAbove":null}""", limits["spine-clearance"]!.ToJsonString());
        Assert.Equal("""{"outBelow":-20,"watchBelow":-10,"watchAbove":15,"outAbove":30}""", limits["width"]!.ToJsonString());
        Assert.Null(limits["width150"]);
        Assert.Equal(changed.Text, (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}")).Text);
    }

    [Theory]
    [InlineData("""{"briging":{"outAbove":6}}""", "/tolerances/limits/briging", "There is no such measure")]
    [InlineData("""{"width150":{"outAbove":6}}""", "/tolerances/limits/width150", "outWideMm")]
    [InlineData("""{"bridging":{"outAbove":3}}""", "/tolerances/limits/bridging", "in this order")]
    [InlineData("""{"angle":{"watchBelow":-9}}""", "/tolerances/limits/angle", "in this order")]
    [InlineData("""{"bridging":{"outAbove":1001}}""", "/tolerances/limits/bridging/outAbove", "1000")]
    [InlineData("""{"bridging":null}""", "/tolerances/limits/bridging", "null")]
    public async Task Limits_thatCannotBe_areNamed(string limits, string pointer, string hint)
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);

        var reply = await SetAsync(service, yard, limits);

        reply.ShouldPoint(422, "impossible", pointer);
        Assert.Contains(hint, reply.Text, StringComparison.Ordinal);
    }

    private static async Task<Reply> SetAsync(RunningService service, TracedYard yard, string limits)
    {
        var path = $"/v1/pairings/{yard.PairingId}";
        var body = new JsonObject
        {
            ["horseId"] = yard.HorseId,
            ["saddleId"] = yard.SaddleId,
            ["from"] = yard.TodayText,
            ["treeFrontFromT8Mm"] = TracedBack.FrontMm,
            ["tolerances"] = new JsonObject { ["limits"] = JsonNode.Parse(limits) },
        };
        return await service.Admin.PutAsync(path, body, ("If-Match", (await service.Admin.GetAsync(path)).Etag));
    }
}
