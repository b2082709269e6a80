using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Story;

/// <summary>A horse that is measured by traces, and a saddle that is flocked while flocking can help and re-fitted when it cannot.</summary>
public sealed class TracedStoryTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task ABackSinks_flockingTakesItUp_thenItWidensAndOnlyARefitHelps(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store, "2026-03-02T08:00:00Z");
        service.Contract = new ContractWatch();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(5, _ => new() { RightLargerPct = 1 });
        await service.SettledAsync();

        await TheForecastNamesWhatGoesFirstAsync(service, yard);
        var check = await TheBackSinksAndFlockingIsAskedForAsync(service, yard);
        await TheFitterFlocksAndItStartsAnewAsync(service, yard, check);
        await TheBackWidensAndARefitIsAskedForAsync(service, yard);
        await ASwellingForbidsUnequalFlockingAsync(service, yard);
        service.Contract.ShouldHaveFoundNothing(seenAtLeast: 10);
    }

    private static async Task TheForecastNamesWhatGoesFirstAsync(RunningService service, TracedYard yard)
    {
        await service.PassDaysAsync(28);
        await yard.MeasureAsync(new() { HollowMm = 4, RightLargerPct = 1.4 });
        await service.SettledAsync();

        var (fit, forecast) = (await yard.FitAsync(), await yard.ForecastAsync());

        Assert.Equal("ok", Text(TracedYard.Finding(fit, "bridging@left")["severity"]));
        Assert.Equal(("bridging", "T13", "left"), (Text(forecast["driver"]!["measure"]), Text(forecast["driver"]!["station"]), Text(forecast["driver"]!["side"])));
        Assert.True(P20(forecast) > yard.Today, "It is told before it is out.");
        Assert.DoesNotContain(await OpenAsync(service, yard), check => Text(check["kind"]) is "flocking" or "refit");
    }

    private static async Task<JsonNode> TheBackSinksAndFlockingIsAskedForAsync(RunningService service, TracedYard yard)
    {
        await service.PassDaysAsync(14);
        await yard.MeasureAsync(new() { HollowMm = 10.5, RightLargerPct = 2 });
        await service.SettledAsync();

        var finding = TracedYard.Finding(await yard.FitAsync(), "bridging@left");
        var check = Assert.Single(await OpenAsync(service, yard), check => Text(check["kind"]) is "flocking" or "fit" or "refit");
        var board = (await service.Admin.GetAsync($"/v1/yards/{yard.YardId}/board"))["horses"]![0]!;

        Assert.Equal("out", Text(finding["severity"]));
        Assert.Equal(("flocking", "now"), (Text(check["kind"]), Text(check["urgency"])));
        var reason = check["reasons"]!.AsArray().First(reason => Text(reason!["measure"]) == "bridging" && Text(reason["side"]) == "left")!;
        Assert.Equal("out-now", Text(reason["cause"]));
        Assert.Contains("near T13 on the left", Text(reason["text"]), StringComparison.Ordinal);
        Assert.Contains($"Flocking can take it up: a hollow of about {finding["flockingMm"]!.GetValue<double>():0} mm.", Text(reason["text"]), StringComparison.Ordinal);
        Assert.Equal("do-not-ride", Text(board["pairings"]![0]!["advice"]));
        Assert.StartsWith("Sorrel: flocking check before the next ride.", Text(board["text"]), StringComparison.Ordinal);
        return check;
    }

    private static async Task TheFitterFlocksAndItStartsAnewAsync(RunningService service, TracedYard yard, JsonNode check)
    {
        var before = P20(await yard.ForecastAsync());
        var path = $"/v1/checks/{check["id"]}";
        var etag = (await service.Admin.GetAsync(path)).Etag;
        var done = (await service.Admin.PostAsync($"{path}/complete", new
        {
            on = yard.TodayText,
            by = yard.FitterId,
            findings = new[] { "Hollow under the middle of both panels, more on the left; flocked." },
            adjustments = new[] { new { kind = "flocking", zones = new[] { new { side = "left", zone = "middle", mm = 6.0 }, new { side = "right", zone = "middle", mm = 5.5 } } } },
        }, ("If-Match", etag))).Should(HttpStatusCode.OK);
        await service.SettledAsync();

        var (fit, forecast) = (await yard.FitAsync(), await yard.ForecastAsync());
        var curve = forecast["measures"]!.AsArray().Single(risk => Text(risk!["key"]) == "bridging@left")!;

        Assert.Equal("done", Text(done["state"]));
        Assert.All(new[] { "bridging@left", "bridging@right" }, key => Assert.Equal("ok", Text(TracedYard.Finding(fit, key)["severity"])));
        Assert.Equal(yard.TodayText, Text(curve["days"]![0]!["day"]));
        Assert.True(P20(forecast) > before, $"It left tolerance on {before} and does so on {P20(forecast)} now.");
        var bedding = Assert.Single(await OpenAsync(service, yard), open => Text(open["kind"]) is "flocking" or "refit");
        Assert.Equal(["bedding-in"], bedding["reasons"]!.AsArray().Select(reason => Text(reason!["cause"])));
    }

    private static async Task TheBackWidensAndARefitIsAskedForAsync(RunningService service, TracedYard yard)
    {
        foreach (var (wider, hollow) in new[] { (14, 15), (28, 18), (42, 21) })
        {
            await service.PassDaysAsync(28);
            await yard.MeasureAsync(new() { WiderMm = wider, HollowMm = hollow, RightLargerPct = 2 });
            await service.SettledAsync();
            Assert.DoesNotContain(await OpenAsync(service, yard), check => Text(check["kind"]) == "flocking" && check["reasons"]!.AsArray().Any(reason => Text(reason!["cause"]) == "out-now"));
        }

        var fit = await yard.FitAsync();
        var refit = Assert.Single(await OpenAsync(service, yard), check => Text(check["kind"]) == "refit");

        Assert.All(new[] { "width@T13", "angle@T13", "bridging@left" }, key => Assert.Equal("out", Text(TracedYard.Finding(fit, key)["severity"])));
        Assert.True(TracedYard.Finding(fit, "width@T13")["value"]!.GetValue<double>() < -20, "The tree is narrow.");
        Assert.Contains(refit["reasons"]!.AsArray(), reason => reason!["measure"]?.GetValue<string>() == "width" && Text(reason["text"]).Contains("narrower than the back at T13", StringComparison.Ordinal));
        Assert.DoesNotContain(refit["reasons"]!.AsArray(), reason => Text(reason!["text"]).Contains("Flocking can take it up", StringComparison.Ordinal));
    }

    private static async Task ASwellingForbidsUnequalFlockingAsync(RunningService service, TracedYard yard)
    {
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = yard.TodayText, kind = "swelling", station = "T13", note = "Left of the spine." });
        await service.SettledAsync();
        var zones = new[] { new { side = "left", zone = "middle", mm = 3 } };

        var refused = await service.Admin.PostAsync($"/v1/saddles/{yard.SaddleId}/adjustments", new { doneOn = yard.TodayText, doneBy = yard.FitterId, kind = "flocking", zones });
        var supposed = await service.Admin.PostAsync($"/v1/pairings/{yard.PairingId}/what-if", new { adjustments = new[] { new { kind = "flocking", zones } } });

        refused.ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");
        Assert.Contains(supposed["warnings"]!.AsArray(), warning => Text(warning).StartsWith("A vet-first sign is open", StringComparison.Ordinal));
        Assert.DoesNotContain((await OpenAsync(service, yard)).SelectMany(check => check["reasons"]!.AsArray()), reason => Text(reason!["text"]).Contains("Flocking can take it up", StringComparison.Ordinal));
    }

    private static async Task<IReadOnlyList<JsonNode>> OpenAsync(RunningService service, TracedYard yard) =>
        [.. (await service.Admin.GetAsync($"/v1/checks?horseId={yard.HorseId}&state=open")).Items.OfType<JsonNode>()];

    private static DateOnly P20(Reply forecast) =>
        forecast["overall"]!["leavesToleranceOn"]!["p20"] is { } day ? DateOnly.ParseExact(Text(day), "yyyy-MM-dd", CultureInfo.InvariantCulture) : DateOnly.MaxValue;

    private static string Text(JsonNode? node) => node!.GetValue<string>();
}
