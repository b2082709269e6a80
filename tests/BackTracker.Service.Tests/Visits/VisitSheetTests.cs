using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Visits;

/// <summary>What the fitter's sheet says, through the real service.</summary>
public sealed class VisitSheetTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task AHorseWidens_theSheetTellsWhatMovedAndWhatToBring_andStartsAnewAfterTheVisit(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store, "2026-03-02T08:00:00Z");
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new());
        await service.SettledAsync();
        Assert.Empty((await SheetAsync(service, yard))["horses"]!.AsArray());

        await WidenAsync(service, yard);
        var saddle = await TheSheetTellsItAsync(service, yard);
        await TheFitterOpensTheTreeAsync(service, yard, Text(saddle["checks"]![0]!["id"]));
        await WhatMovedStartsAnewAsync(service, yard);
    }

    private static async Task WidenAsync(RunningService service, TracedYard yard)
    {
        foreach (var wider in new[] { 14, 28, 42 })
        {
            await service.PassDaysAsync(28);
            await yard.MeasureAsync(new() { WiderMm = wider, DipMm = 18 });
        }
        await service.SettledAsync();
    }

    private static async Task<JsonNode> TheSheetTellsItAsync(RunningService service, TracedYard yard)
    {
        var sheet = await SheetAsync(service, yard, $"?fitterId={yard.FitterId}");
        var horse = Assert.Single(sheet["horses"]!.AsArray())!;
        var saddle = Assert.Single(horse["saddles"]!.AsArray())!;
        var width = Moved(saddle, "T13.width150")!;

        Assert.Equal(("Larkfield", "Morwen Hale", yard.TodayText), (Text(sheet["yard"]!["name"]), Text(sheet["fitter"]!["name"]), Text(sheet["on"])));
        Assert.Equal(("Sorrel", yard.TodayText), (Text(horse["horse"]!["name"]), Text(horse["lastMeasuredOn"])));
        Assert.Equal(("Adjustable tree, wool", "Front of the tree 10 mm behind T8"), (Text(saddle["saddleText"]), Text(saddle["frontText"])));
        Assert.Equal("Since its first day on this horse, 2 March 2026", Text(saddle["sinceText"]));
        Assert.InRange(width["change"]!.GetValue<double>(), 32, 46);
        Assert.True(width["moreThanNoise"]!.GetValue<bool>());
        Assert.Matches(@"^Width at T13, 150 mm down: \d\d mm wider \(± \d+ mm\), more than noise; least real change \d+ mm$", Text(width["text"]));
        Assert.Equal("left", Text(Moved(saddle, "T13.halfLeft150")!["side"]));
        Assert.Contains("flatter", Text(Moved(saddle, "T13.angleRight")!["text"]), StringComparison.Ordinal);
        Assert.False(Moved(saddle, "dip")!["moreThanNoise"]!.GetValue<bool>());
        Assert.Equal("refit", Text(saddle["checks"]![0]!["kind"]));
        Assert.Contains("narrower than the back", Text(saddle["checks"]![0]!["why"]![0]), StringComparison.Ordinal);
        Assert.All(saddle["findings"]!.AsArray(), finding => Assert.Contains(Text(finding!["severity"]), new[] { "out", "watch" }));
        var need = saddle["bring"]!.AsArray().First(need => Text(need!["what"]) == "A wider tree or head plate")!;
        Assert.Contains(need["because"]!.AsArray(), because => Text(because).Contains("narrower than the back at T13", StringComparison.Ordinal));
        Assert.Contains(sheet["bring"]!.AsArray(), bring => Text(bring!["what"]) == "A wider tree or head plate" && Text(bring["horses"]![0]) == "Sorrel");
        Assert.Contains(sheet["cautions"]!.AsArray(), caution => Text(caution) == "A flag means stop and have it looked at.");
        return saddle;
    }

    private static async Task TheFitterOpensTheTreeAsync(RunningService service, TracedYard yard, string checkId)
    {
        var zones = new[] { "front", "middle", "rear" }.SelectMany(zone => new[] { "left", "right" }.Select(side => new { side, zone, mm = 19 }));
        (await service.Admin.PostAsync($"/v1/checks/{checkId}/complete", new
        {
            on = yard.TodayText,
            by = yard.FitterId,
            findings = new[] { "Narrow all along; opened." },
            adjustments = new[] { new { kind = "tree", zones } },
        }, ("If-Match", "*"))).Should(HttpStatusCode.OK);
        await service.SettledAsync();
    }

    private static async Task WhatMovedStartsAnewAsync(RunningService service, TracedYard yard)
    {
        var done = yard.Today;
        await service.PassDaysAsync(28);
        await yard.MeasureAsync(new() { WiderMm = 43 });
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = yard.TodayText, kind = "rub", station = "T13", side = "left", note = "Hair broken." });
        await service.SettledAsync();

        var horse = Assert.Single((await SheetAsync(service, yard))["horses"]!.AsArray())!;
        var saddle = horse["saddles"]![0]!;
        var width = Moved(saddle, "T13.width150")!;

        Assert.Equal(TracedYard.Text(done), Text(saddle["since"]));
        Assert.StartsWith("Since it was last looked at, on ", Text(saddle["sinceText"]), StringComparison.Ordinal);
        Assert.Equal(TracedYard.Text(done), Text(width["from"]));
        Assert.InRange(width["change"]!.GetValue<double>(), -5, 9);
        Assert.False(width["moreThanNoise"]!.GetValue<bool>());
        Assert.Equal("Rub at T13 on the left, seen 22 June 2026: Hair broken.", Text(Assert.Single(horse["observations"]!.AsArray())));
        Assert.Empty(horse["vetFirst"]!.AsArray());
    }

    [Fact]
    public async Task ABookedCheck_standsOnTheSheetOfItsFitterAndDayAlone()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(340);
        await service.SettledAsync();
        var other = await service.Admin.MakeAsync("/v1/people", new { name = "Tarn Ashby", role = "fitter", yardIds = new[] { yard.YardId } });
        var check = (await service.Admin.GetAsync("/v1/checks?state=open")).Items.Single(c => Text(c!["kind"]) == "refit")!;
        async Task<int> HorsesAsync(string query) => (await SheetAsync(service, yard.YardId, query))["horses"]!.AsArray().Count;
        Assert.Equal((1, 1), (await HorsesAsync(""), await HorsesAsync($"?fitterId={other}")));

        (await service.Admin.PostAsync($"/v1/checks/{check["id"]}/book", new { on = "2026-11-27", fitterId = yard.FitterId }, ("If-Match", "*"))).Should(HttpStatusCode.OK);
        await service.SettledAsync();

        Assert.Equal(0, await HorsesAsync($"?fitterId={yard.FitterId}"));
        Assert.Equal(1, await HorsesAsync($"?fitterId={yard.FitterId}&on=2026-11-27"));
        Assert.Equal(1, await HorsesAsync("?on=2026-11-27"));
        Assert.Equal(0, await HorsesAsync($"?fitterId={other}&on=2026-11-27"));
        await service.PassDaysAsync(3);
        Assert.Equal(1, await HorsesAsync($"?fitterId={yard.FitterId}"));
    }

    [Fact]
    public async Task Sheet_forADayPastOrSomebodyElse_isRefused()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        foreach (var query in new[] { "?on=2026-11-24", "?on=2028-01-01", $"?fitterId={yard.VetId}" })
            (await service.Admin.GetAsync($"/v1/yards/{yard.YardId}/visit-sheet{query}")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        (await service.Admin.GetAsync($"/v1/yards/{yard.YardId}/visit-sheet?fitterId={yard.HorseId}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
    }

    [Fact]
    public async Task WhileAVetFirstSignIsOpen_nothingUnequalIsToBeBrought()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { HollowMm = 8 });
        await service.SettledAsync();
        Assert.Contains("Flocking", await NeedsAsync(service, yard));

        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = yard.TodayText, kind = "swelling", station = "T13", note = "Left of the spine." });
        await service.SettledAsync();
        var sheet = await SheetAsync(service, yard);
        var needs = await NeedsAsync(service, yard);

        Assert.Equal("Nothing unequal before the vet", needs[0]);
        Assert.DoesNotContain("on the left", string.Join('\n', sheet["horses"]![0]!["saddles"]![0]!["bring"]!.AsArray().Select(need => need!.ToJsonString())), StringComparison.Ordinal);
        Assert.Equal("Swelling at T13, seen 25 November 2026: Left of the spine.", Text(Assert.Single(sheet["horses"]![0]!["vetFirst"]!.AsArray())));
        Assert.Contains(sheet["cautions"]!.AsArray(), caution => Text(caution).Contains("no flocking is made unequal", StringComparison.Ordinal));
    }

    private static async Task<IReadOnlyList<string>> NeedsAsync(RunningService service, TracedYard yard) =>
        [.. (await SheetAsync(service, yard))["horses"]![0]!["saddles"]![0]!["bring"]!.AsArray().Select(need => Text(need!["what"]))];

    private static Task<Reply> SheetAsync(RunningService service, TracedYard yard, string query = "") => SheetAsync(service, yard.YardId, query);

    private static async Task<Reply> SheetAsync(RunningService service, string yardId, string query) =>
        (await service.Admin.GetAsync($"/v1/yards/{yardId}/visit-sheet{query}")).Should(HttpStatusCode.OK);

    private static JsonNode? Moved(JsonNode saddle, string metric) => saddle["moved"]!.AsArray().FirstOrDefault(move => Text(move!["metric"]) == metric);

    private static string Text(JsonNode? node) => node!.GetValue<string>();
}
