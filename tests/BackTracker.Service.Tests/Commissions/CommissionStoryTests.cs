using System.Net;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Commissions;

/// <summary>A saddle made to measure for a horse that widens while it is made, from the order to the day it is bedded in.</summary>
public sealed class CommissionStoryTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Commission_ofAHorseThatWidens_isWarnedOfCutAnewTriedTwiceDeliveredAndSettled(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store, now: "2026-01-05T09:00:00Z");
        var yard = await CommissioningYard.SettleAsync(service);
        var width = 300.0;
        async Task<string> Fortnights(int count, double byMm)
        {
            var last = "";
            for (var i = 0; i < count; i++, width += byMm)
            {
                await service.PassDaysAsync(14);
                last = await yard.Yard.MeasureAsync(width);
            }
            await service.SettledAsync();
            return last;
        }

        // March: ordered to the width of then, and the template sent.
        var first = await Fortnights(4, 0);
        await yard.OrderAsync(302, deliveryInDays: 140);
        await service.SettledAsync();
        Assert.Equal("measured", CommissioningYard.Text((await yard.Admin.GetAsync(yard.Path))["next"]!["stage"]));
        await yard.StageAsync("measured", first);
        Assert.Equal("saddler", CommissioningYard.Text((await yard.StageAsync("template-sent"))["heldBy"]));
        var before = (await yard.Admin.GetAsync($"{yard.Path}/outlook")).Should(HttpStatusCode.OK);
        Assert.True(before["days"]![0]!["probabilityFits"]!.GetValue<double>() > .5, before.Text);
        Assert.Equal(0, await ToldAtRiskAsync(service));

        // May: the horse has put on muscle, and the tree as ordered will hardly fit.
        await Fortnights(5, 4.5);
        var warned = (await yard.Admin.GetAsync($"{yard.Path}/outlook")).Should(HttpStatusCode.OK);
        Assert.True(warned["days"]![0]!["probabilityFits"]!.GetValue<double>() < .5, warned.Text);
        Assert.StartsWith("Open each side by ", CommissioningYard.Text(warned["best"]!["text"]), StringComparison.Ordinal);
        Assert.Contains("measure again before the tree is cut", string.Join(' ', warned["remeasure"]!["reasons"]!.AsArray().Select(CommissioningYard.Text)), StringComparison.Ordinal);
        Assert.Equal("old", CommissioningYard.Text(warned["template"]!["age"]));
        Assert.Equal(1, await ToldAtRiskAsync(service));
        await service.PassDaysAsync(1);
        Assert.Equal(1, await ToldAtRiskAsync(service));

        // Nobody measures for three weeks: the horse's check asks for it in the words of the outlook, and the alert stands until the order is changed.
        Assert.Equal("raised", CommissioningYard.Text((await AlertAsync(yard))["state"]));
        await service.PassDaysAsync(20);
        await service.SettledAsync();
        var check = await RemeasureAsync(yard);
        Assert.Equal("open", CommissioningYard.Text(check["state"]));
        var reason = check["reasons"]!.AsArray().First(reason => CommissioningYard.Text(reason!["cause"]) == "commission-risk")!;
        Assert.Matches("^Bramble's new saddle is being made. On .* the tree fits with .* %: measure again before the tree is cut.$", CommissioningYard.Text(reason["text"]));
        var latest = await yard.Yard.MeasureAsync(width);
        await service.SettledAsync();
        Assert.Equal("done", CommissioningYard.Text((await RemeasureAsync(yard))["state"]));

        // Ordered wider, and the template issued anew; the first one stays as it was sent.
        var wider = 302 + (2 * warned["best"]!["openMm"]!.GetValue<double>());
        (await yard.Admin.PutAsync(yard.Path, yard.Order(wider, CommissioningYard.Text((await yard.Admin.GetAsync(yard.Path))["deliveryOn"]), yard.Day(-200)), ("If-Match", (await yard.Admin.GetAsync(yard.Path)).Etag))).Should(HttpStatusCode.OK);
        await service.SettledAsync();
        Assert.Equal("settled", CommissioningYard.Text((await AlertAsync(yard))["state"]));
        await yard.StageAsync("measured", latest);
        await yard.StageAsync("template-sent");
        var templates = (await yard.Admin.GetAsync($"{yard.Path}/templates")).Items;
        Assert.Equal([first, latest], templates.Select(template => CommissioningYard.Text(template!["measurementId"])));
        Assert.All(templates, template => Assert.Equal(
            Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(template!["measured"]!.ToJsonString(Relaxed)))), CommissioningYard.Text(template["checksum"])));
        await yard.StageAsync("tree-cut");
        (await yard.Admin.PostAsync($"/v1/saddles/{yard.SaddleId}/tree-shapes", new { from = yard.Today, stations = new[] { new { station = "T13", width150Mm = wider + 2 } } })).Should(HttpStatusCode.Created);
        Assert.Equal("accept", CommissioningYard.Text((await yard.Admin.GetAsync($"{yard.Path}/tree-against-order"))["verdict"]));
        Assert.Equal("as-measured", CommissioningYard.Text((await yard.Admin.GetAsync($"{yard.Path}/outlook"))["tree"]));
        await service.SettledAsync();

        // The first trial finds something to alter, the second nothing.
        await yard.StageAsync("tree-trial");
        var tried = await yard.TryAllAsync(("contact", new { item = "contact", verdict = "alter", mm = 4, side = "left", zone = "rear", note = "A hollow under the left rear." }));
        Assert.Equal("alter", CommissioningYard.Text(tried["verdict"]));
        var work = Assert.Single(tried["workList"]!.AsArray())!;
        Assert.Equal(("contact", "left", "rear", 4.0), (CommissioningYard.Text(work["item"]), CommissioningYard.Text(work["side"]), CommissioningYard.Text(work["zone"]), work["mm"]!.GetValue<double>()));
        (await yard.TryStageAsync("passed")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        await yard.StageAsync("altered");
        await yard.StageAsync("tree-trial");
        Assert.Equal("pass", CommissioningYard.Text((await yard.TryAllAsync())["verdict"]));
        (await yard.TryStageAsync("finished")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        await yard.StageAsync("passed");
        await yard.StageAsync("finished");
        await yard.StageAsync("delivered");

        // Ridden, looked at three times, and settled by the rule.
        await yard.Admin.MakeAsync("/v1/pairings", new { horseId = yard.Yard.HorseId, saddleId = yard.SaddleId, from = yard.Today, weeklyMinutes = 300 });
        foreach (var (clearance, stage) in new[] { (30.0, "bedding-in"), (27.0, "bedding-in"), (26.4, "settled") })
        {
            (await yard.Admin.PostAsync($"{yard.Path}/bedding-in", new { on = yard.Today, clearanceMm = clearance, verdict = "pass" })).Should(HttpStatusCode.Created);
            Assert.Equal(stage, await yard.StandsAsync());
            await service.PassDaysAsync(14);
            foreach (var day in new[] { -12, -9, -7, -4, -1 })
                (await yard.Admin.PostAsync($"/v1/horses/{yard.Yard.HorseId}/rides", new { riddenOn = yard.Day(day), minutes = 120, saddleId = yard.SaddleId })).Should(HttpStatusCode.Created);
        }
        var over = (await yard.Admin.GetAsync(yard.Path)).Should(HttpStatusCode.OK);
        Assert.Equal(
            ["ordered", "measured", "template-sent", "measured", "template-sent", "tree-cut", "tree-trial", "altered", "tree-trial", "passed", "finished", "delivered", "bedding-in", "settled"],
            over["history"]!.AsArray().Select(step => CommissioningYard.Text(step!["stage"])));
        Assert.Null(over["next"]);
        Assert.True((await yard.Admin.GetAsync($"{yard.Path}/bedding-in"))["settlement"]!["stillToComeMm"]!.GetValue<double>() < 1);
    }

    private static readonly System.Text.Json.JsonSerializerOptions Relaxed = new() { Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    private static async Task<JsonNode> RemeasureAsync(CommissioningYard yard) =>
        (await yard.Admin.GetAsync($"/v1/checks?horseId={yard.Yard.HorseId}&limit=500")).Items.Last(check => CommissioningYard.Text(check!["kind"]) == "remeasure")!;

    private static async Task<JsonNode> AlertAsync(CommissioningYard yard) =>
        Assert.Single((await yard.Admin.GetAsync($"/v1/alerts?horseId={yard.Yard.HorseId}&limit=500")).Items, alert => CommissioningYard.Text(alert!["concern"]) == "commission")!;

    private static async Task<int> ToldAtRiskAsync(RunningService service) =>
        (await StoreContent.ReadAsync(service))["outbox"].Count(row => row.Contains("backtracker.commission.at-risk.v1", StringComparison.Ordinal));
}
