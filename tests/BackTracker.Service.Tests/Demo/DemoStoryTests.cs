using System.Text.Json.Nodes;

namespace BackTracker.Service.Tests.Demo;

/// <summary>The demo shows every case it is there for, as records that the service judged itself.</summary>
[Collection(DemoReaders.Name)]
public sealed class DemoStoryTests(FilledDemo demo)
{
    [Fact]
    public async Task Flocking_ofSaddleThatBridged_setsBridgingRightAndStartsItsForecastAnew()
    {
        var check = (await ChecksAsync("done")).Single(c => Text(c, "kind") == "flocking" && Text(c["reasons"]![0]!, "cause") == "out-now");
        Assert.Equal("bridging", Text(check["reasons"]![0]!, "measure"));
        var (pairing, done) = (Text(check, "pairingId"), DateOnly.Parse(Text(check, "doneOn"), null));
        var steps = (await demo.Api.GetAsync($"/v1/checks/{Text(check, "id")}/history"))["steps"]!.AsArray().Select(s => Text(s!, "action"));
        Assert.Equal(["open", "book", "complete"], steps.Where(action => action != "revise"));

        var saddle = Text((await demo.Api.GetAsync($"/v1/pairings/{pairing}")).Body, "saddleId");
        var made = (await demo.Api.GetAsync($"/v1/saddles/{saddle}/adjustments")).Items.Where(a => a!["checkId"]?.GetValue<string>() == Text(check, "id")).ToList();
        Assert.Equal(["flocking"], made.Select(a => Text(a!, "kind")));
        var zones = made[0]!["zones"]!.AsArray();
        Assert.Equal(Thickness(zones, "left"), Thickness(zones, "right"));
        Assert.True(Thickness(zones, "left") > 0);

        var before = await BridgingAsync(pairing, done.AddDays(-1));
        var after = await BridgingAsync(pairing, done);
        Assert.Equal(("out", "ok"), (Text(before, "severity"), Text(after, "severity")));
        Assert.True(await OutByAsync(pairing, done.AddDays(-1)) > .5);
        Assert.Equal(after["probabilityOut"]!.GetValue<double>(), await OutByAsync(pairing, done), 6);
    }

    [Fact]
    public async Task Refits_ofHorsesThatWidened_nameWidthOrAngleAndNotFlocking()
    {
        var refits = (await ChecksAsync("done")).Concat(await ChecksAsync("open")).Where(c => Text(c, "kind") == "refit").ToList();

        Assert.Contains(refits, c => Text(c, "state") == "open");
        Assert.All(refits, c =>
        {
            var reasons = c["reasons"]!.AsArray().Where(r => Text(r!, "cause") == "out-now").ToList();
            Assert.Contains(reasons, r => Text(r!, "measure") is "width" or "angle");
            Assert.DoesNotContain(reasons, r => Text(r!, "text").Contains("Flocking", StringComparison.Ordinal));
        });
    }

    [Fact]
    public async Task Flocking_isNeverAskedFor_whileTheTreeIsNarrow()
    {
        var asked = 0;
        foreach (var horse in await HorsesAsync())
        {
            await foreach (var assessment in AssessmentsAsync(Text(horse, "id")))
            {
                var outputs = assessment["outputs"]!;
                foreach (var opened in outputs["decisions"]!.AsArray().Where(d => Text(d!, "action") == "open" && Text(d!, "kind") == "flocking"))
                {
                    asked++;
                    var pairing = outputs["pairings"]!.AsArray().Single(p => Text(p!, "pairingId") == Text(opened!, "pairingId"))!;
                    Assert.DoesNotContain(pairing["findings"]!.AsArray(), f => IsNarrow(f!));
                }
            }
        }
        Assert.True(asked > 0);
    }

    [Fact]
    public async Task Teasel_whoseTracesAreMarked_showsWhatIsOfOneSide()
    {
        var pairing = await PairingAsync("Teasel");
        var findings = (await demo.Api.GetAsync($"/v1/pairings/{pairing}/fit"))["findings"]!.AsArray();

        Assert.True(Finding(findings, "asymmetry150@T13")["value"]!.GetValue<double>() > 5);
        Assert.Equal("watch", Text(Finding(findings, "asymmetry150@T13"), "severity"));
        Assert.NotNull(Finding(findings, "roll")["value"]);
        Assert.NotNull(Finding(findings, "bridging@left")["value"]);
        Assert.NotNull(Finding(findings, "bridging@right")["value"]);
        Assert.NotNull(Finding(findings, "angle-difference@T13")["value"]);
    }

    [Fact]
    public async Task Teasel_badTrace_wasNamedAndDrawnAgain()
    {
        var sessions = await MeasurementsAsync("Teasel");
        var bad = sessions.Single(m => m["replacedBy"] is not null);

        Assert.Contains(bad["advice"]!.AsArray(), a => Text(a!, "code") == "repeat-disagrees" && Text(a!, "station") == "T13");
        var again = sessions.Single(m => Text(m, "id") == Text(bad, "replacedBy"));
        Assert.DoesNotContain(again["advice"]!.AsArray(), a => Text(a!, "code") is "repeat-disagrees" or "unexpected");
    }

    [Fact]
    public async Task EveryHorseInWork_isMeasuredForEighteenMonths_mostByTraces()
    {
        var traced = 0;
        foreach (var horse in (await HorsesAsync()).Where(h => Text(h, "status") == "active"))
        {
            var sessions = await MeasurementsAsync(Text(horse, "name"));
            var days = sessions.Select(m => DateOnly.Parse(Text(m, "measuredOn"), null)).ToList();
            Assert.True(days.Min() <= FilledDemo.Today.AddMonths(-18), $"{horse["name"]} since {days.Min()}");
            Assert.True(sessions.Count >= 12, $"{horse["name"]}: {sessions.Count} sessions");
            traced += sessions.All(m => m["traces"] is JsonArray { Count: 6 }) ? 1 : 0;
        }
        Assert.InRange(traced, 10, 12);
    }

    [Fact]
    public async Task SaddleBeingMade_forAMareThatWidened_isBeingTried_andSaysByHowMuchToOpenIt()
    {
        var path = $"/v1/commissions/{Text((await demo.Api.GetAsync($"/v1/commissions?horseId={await HorseAsync("Bracken")}")).Items[0]!, "id")}";
        Assert.Equal("tree-trial", Text((await demo.Api.GetAsync(path)).Body, "stage"));
        var outlook = await demo.Api.GetAsync($"{path}/outlook");
        Assert.InRange(outlook["days"]![0]!["probabilityFits"]!.GetValue<double>(), .5, .9);
        Assert.StartsWith("Open each side by", Text(outlook["best"]!, "text"), StringComparison.Ordinal);
        Assert.Contains("measure again before it is covered", outlook["remeasure"]!.ToJsonString(), StringComparison.Ordinal);
        var work = Assert.Single((await demo.Api.GetAsync($"{path}/trial"))["workList"]!.AsArray())!;
        Assert.Equal(("contact", "front", "alter"), (Text(work, "item"), Text(work, "zone"), Text(work, "verdict")));
        var alert = Assert.Single((await demo.Api.GetAsync("/v1/alerts?limit=500")).Items, alert => Text(alert!, "concern") == "commission")!;
        Assert.Equal("settled", Text(alert, "state"));
    }

    [Fact]
    public async Task Board_showsWhatPresses()
    {
        var lines = new List<string>();
        foreach (var yard in (await demo.Api.GetAsync("/v1/yards")).Items)
            lines.AddRange((await demo.Api.GetAsync($"/v1/yards/{Text(yard!, "id")}/board"))["horses"]!.AsArray().Select(h => Text(h!, "text")));

        Assert.Contains(lines, line => line.StartsWith("Rowan: measure again, overdue since", StringComparison.Ordinal));
        Assert.Contains(lines, line => line.StartsWith("Sedge: fit check before the next ride. Dry patch seen", StringComparison.Ordinal));
        Assert.True(lines.Exists(line => line.StartsWith("Lapwing: re-fit before the next ride. Tree", StringComparison.Ordinal)), string.Join("\n", lines));
    }

    [Fact]
    public async Task Saddles_areSharedAndDoubled_andTreesKnownInTwoWays()
    {
        var pairings = (await demo.Api.GetAsync("/v1/pairings?limit=100")).Items;
        Assert.Contains(pairings.GroupBy(p => Text(p!, "saddleId")), same => same.Count() == 2);
        Assert.Contains(pairings.GroupBy(p => Text(p!, "horseId")), same => same.Count() == 2);
        Assert.Contains("width150", await MeasuresAsync("Rowan"));
        Assert.Contains("bridging", await MeasuresAsync("Bracken"));
        var curlew = await demo.Api.GetAsync($"/v1/pairings/{await PairingAsync("Curlew")}/fit");
        Assert.Contains(curlew["cautions"]!.AsArray(), caution => caution!.GetValue<string>() == Engine.Checks.Cautions.Modelled);
    }

    private static string Text(JsonNode node, string member) => node[member]!.GetValue<string>();

    private static double Thickness(JsonArray zones, string side) => zones.Where(z => Text(z!, "side") == side).Sum(z => z!["mm"]!.GetValue<double>());

    private static JsonNode Finding(JsonArray findings, string key) => findings.Single(f => Text(f!, "key") == key)!;

    // Out or watched and on the narrow side: a panel steeper, a tree narrower than the back.
    private static bool IsNarrow(JsonNode finding) => Text(finding, "severity") is "watch" or "out" && Text(finding, "measure") switch
    {
        "angle" => finding["value"]!.GetValue<double>() > 0,
        "width" or "width150" => finding["value"]!.GetValue<double>() < 0,
        _ => false,
    };

    private async Task<JsonNode> BridgingAsync(string pairing, DateOnly on) =>
        Finding((await demo.Api.GetAsync($"/v1/pairings/{pairing}/fit?asOf={on:yyyy-MM-dd}"))["findings"]!.AsArray(), "bridging");

    private async Task<double> OutByAsync(string pairing, DateOnly on) =>
        (await demo.Api.GetAsync($"/v1/pairings/{pairing}/forecast?asOf={on:yyyy-MM-dd}"))["measures"]!.AsArray()
            .Single(m => Text(m!, "key") == "bridging")!["days"]![0]!["probabilityOutBy"]!.GetValue<double>();

    private async Task<IReadOnlyList<JsonNode>> ChecksAsync(string state) => [.. (await demo.Api.GetAsync($"/v1/checks?state={state}&limit=500")).Items!];

    private async Task<IReadOnlyList<JsonNode>> HorsesAsync() => [.. (await demo.Api.GetAsync("/v1/horses?limit=100")).Items!];

    private async Task<string> HorseAsync(string name) => Text((await HorsesAsync()).Single(h => Text(h, "name") == name), "id");

    private async Task<string> PairingAsync(string horse) => Text((await demo.Api.GetAsync($"/v1/pairings?horseId={await HorseAsync(horse)}")).Items[0]!, "id");

    private async Task<IReadOnlyList<JsonNode>> MeasurementsAsync(string horse) =>
        [.. (await demo.Api.GetAsync($"/v1/horses/{await HorseAsync(horse)}/measurements?limit=100")).Items!];

    private async Task<IReadOnlyList<string>> MeasuresAsync(string horse) =>
        [.. (await demo.Api.GetAsync($"/v1/pairings/{await PairingAsync(horse)}/fit"))["findings"]!.AsArray().Select(f => Text(f!, "measure"))];

    private async IAsyncEnumerable<JsonNode> AssessmentsAsync(string horseId)
    {
        var page = await demo.Api.GetAsync($"/v1/horses/{horseId}/assessments?limit=500");
        while (true)
        {
            foreach (var assessment in page.Items)
                yield return assessment!;
            if (page["next"]?.GetValue<string>() is not { } next)
                yield break;
            page = await demo.Api.GetAsync(next);
        }
    }
}
