using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Fit;

/// <summary>What can be done at a panel, over the API, on both stores.</summary>
public sealed class AdviceTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Advice_panelPackedDownOnOneSide_isToFillItUntilAVetFirstSignIsOpen(StoreKind kind)
    {
        await using var service = await RunningService.StartAsync(kind, role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(6, _ => new());
        service.Clock.Advance(TimeSpan.FromDays(1));
        await service.Admin.MakeAsync($"/v1/saddles/{yard.SaddleId}/adjustments", new
        {
            doneOn = yard.TodayText,
            doneBy = yard.FitterId,
            kind = "flocking",
            zones = new[] { "front", "middle", "rear" }.Select(zone => new { side = "left", zone, mm = -5 }),
        });

        var advice = await AskAsync(service, yard);
        var zones = advice["zones"]!.AsArray().Select(zone => new { side = Text(zone!["side"]), zone = Text(zone["zone"]), mm = Number(zone["mm"]) }).ToList();
        var supposed = await service.Admin.PostAsync($"/v1/pairings/{yard.PairingId}/what-if", new { adjustments = new[] { new { kind = "flocking", zones } } });

        Assert.Equal("flocking", Text(advice["kind"]));
        Assert.All(zones, zone => Assert.True(zone is { side: "left", mm: >= 2 and <= 6 }));
        Assert.Matches("^Add [2-6] mm of flocking all along the panel, on the left\\. The chance of having left tolerance then reaches 20 % on ", Text(advice["text"]));
        Assert.True(Number(advice["gainDays"]) > 60);
        Assert.Equal(Number(advice["gainDays"]), Number(advice["adjusted"]!["expectedDays"]) - Number(advice["asIs"]!["expectedDays"]), 1e-9);
        // What-if tells the same of it.
        Assert.Equal(Text(advice["adjusted"]!["riskLimitOn"]), Text(supposed.Should(HttpStatusCode.OK)["forecast"]!["overall"]!["leavesToleranceOn"]!["p20"]));
        Assert.Contains(advice["cautions"]!.AsArray(), caution => Text(caution).Contains("a qualified fitter decides", StringComparison.Ordinal));
        Assert.Contains(advice["cautions"]!.AsArray(), caution => Text(caution).Contains("A green line does not mean safe", StringComparison.Ordinal));

        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = yard.TodayText, kind = "swelling", station = "T13", note = "Left of the spine." });
        var refused = await AskAsync(service, yard);

        Assert.Equal("vet-first", Text(refused["kind"]));
        Assert.Empty(refused["zones"]!.AsArray());
        Assert.Null(refused["adjusted"]);
        Assert.Contains("no flocking is made unequal before a vet has looked", Text(refused["text"]), StringComparison.Ordinal);
        Assert.StartsWith("Stop using the saddle until a vet", Text(refused["cautions"]![0]), StringComparison.Ordinal);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Advice_treeThatFollowsTheBack_isNothing_andNobodyElseIsTold(StoreKind kind)
    {
        await using var service = await RunningService.StartAsync(kind, role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(6, _ => new());
        var stranger = await (await Yardful.SettleAsync(service, "Mill Bottom")).KeyOfAsync(null, "read");

        var advice = await AskAsync(service, yard);

        Assert.Equal(("nothing-to-do", 0.0, 365), (Text(advice["kind"]), Number(advice["gainDays"]), advice["horizonDays"]!.GetValue<int>()));
        Assert.Equal(advice.Text, (await AskAsync(service, yard)).Text);
        foreach (var part in new[] { "advice", "contact", "contact.svg" })
            (await stranger.GetAsync($"/v1/pairings/{yard.PairingId}/{part}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
    }

    [Fact]
    public async Task Advice_narrowTree_isTheTreeAlone()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { WiderMm = 25, HollowMm = 8 });

        var advice = await AskAsync(service, yard);

        Assert.Equal("tree-only", Text(advice["kind"]));
        Assert.Matches(@"^Tree \d+ mm narrower than the back at T\d+ \(limit 20\)\. Padding never cures a narrow saddle\. Only the tree can be altered, or another taken\.$", Text(advice["text"]));
    }

    [Theory]
    [InlineData("no topline", "Trace the topline along the spine, against a level line.")]
    [InlineData("no front", "Measure how far the tree's front edge lies behind T8 on this horse.")]
    [InlineData("treeless", "A treeless saddle has no rigid tree to lay on the back.")]
    public async Task Advice_tooLittleKnown_saysWhatIsMissing(string lack, string mending)
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service, kind: lack == "treeless" ? lack : "rigid", frontMm: lack == "no front" ? null : TracedBack.FrontMm);
        await yard.MeasureAsync(new() { HasTopline = lack != "no topline" });

        var advice = await AskAsync(service, yard);

        Assert.Equal("not-known", Text(advice["kind"]));
        Assert.Contains(advice["missing"]!.AsArray(), missing => Text(missing).StartsWith(mending, StringComparison.Ordinal));
    }

    [Fact]
    public async Task Advice_horseNobodyMeasured_isNotKnown()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);

        Assert.Equal("not-known", Text((await AskAsync(service, yard))["kind"]));
    }

    [Fact]
    public async Task Advice_tracesWithoutMarks_areTheSameOnBothSidesAndSaidSo()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { Marked = false, HollowMm = 9 });

        var advice = await AskAsync(service, yard);

        Assert.Equal("flocking", Text(advice["kind"]));
        Assert.Contains("on both sides", Text(advice["text"]), StringComparison.Ordinal);
        Assert.Contains(advice["missing"]!.AsArray(), missing => Text(missing).StartsWith("Mark the midline and a level line", StringComparison.Ordinal));
    }

    // Advice is kept until something it rests on changes: another filling, a limit of the pairing's own, a pad, another day.
    [Fact]
    public async Task Advice_askedAgain_followsWhateverChanged()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { HollowMm = 9 });
        var (saddle, policy) = ($"/v1/saddles/{yard.SaddleId}", $"/v1/pairings/{yard.PairingId}/policy");

        var first = await AskAsync(service, yard);
        await ReplaceAsync(service, saddle, new { yardId = yard.YardId, label = "Sorrel's saddle", tree = "rigid", filling = "foam" });
        var foam = await AskAsync(service, yard);
        await ReplaceAsync(service, policy, new { riskLimit = .4 });
        var bolder = await AskAsync(service, yard);
        service.Clock.Advance(TimeSpan.FromDays(10));
        var later = await AskAsync(service, yard);

        Assert.Equal(("flocking", "shims"), (Text(first["kind"]), Text(foam["kind"])));
        Assert.Equal((.2, .4), (Number(foam["riskLimit"]), Number(bolder["riskLimit"])));
        Assert.NotEqual(Text(foam["text"]), Text(bolder["text"]));
        Assert.NotEqual(Number(bolder["asIs"]!["expectedDays"]), Number(later["asIs"]!["expectedDays"]));
    }

    private static async Task ReplaceAsync(RunningService service, string path, object body) =>
        (await service.Admin.PutAsync(path, body, ("If-Match", (await service.Admin.GetAsync(path)).Etag))).Should(HttpStatusCode.OK);

    private static async Task<Reply> AskAsync(RunningService service, TracedYard yard) =>
        (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/advice")).Should(HttpStatusCode.OK);

    private static string Text(JsonNode? node) => node!.GetValue<string>();

    private static double Number(JsonNode? node) => node!.GetValue<double>();
}
