using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Commissions;

/// <summary>What a commission refuses, and what opens it again.</summary>
public sealed class CommissionTests
{
    [Fact]
    public async Task Trial_withAnOpenFail_stopsThere_andIsNeverPassed()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 60);
        await yard.CutAsync(await yard.Yard.MeasureAsync(318), 320);

        var failed = (await yard.TryAsync("standing", ("spine", new { item = "spine", verdict = "fail", note = "Touches at the rear." }))).Should(HttpStatusCode.Created);
        Assert.Equal("fail", CommissioningYard.Text(failed["verdict"]));
        Assert.Contains("hat and body protector", failed["cautions"]!.ToJsonString(), StringComparison.Ordinal);
        Assert.Contains("A step before it failed", CommissioningYard.Text((await yard.TryAsync("girthed")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict")["detail"]), StringComparison.Ordinal);
        Assert.Contains("Failed:", CommissioningYard.Text((await yard.TryStageAsync("passed")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict")["detail"]), StringComparison.Ordinal);

        // Put right and tried again from the first step, it passes; in the trial before it never would have.
        await yard.StageAsync("altered");
        await yard.StageAsync("tree-trial");
        Assert.Equal(2, (await yard.TryAllAsync())["round"]!.GetValue<int>());
        await yard.StageAsync("passed");
        Assert.Equal(7, (await yard.Admin.GetAsync($"{yard.Path}/trials")).Items.Count);
    }

    [Fact]
    public async Task Trial_nobodyMounts_beforeTheSaddlersWrittenWord_norWithAVetFirstSign()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 60);
        await yard.CutAsync(await yard.Yard.MeasureAsync(318), 320);
        (await yard.TryAsync("walk")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        await yard.TryAsync("standing");
        await yard.TryAsync("girthed");

        var items = new[] { new { item = "settles", verdict = "pass" }, new { item = "spine-loaded", verdict = "pass" }, new { item = "shoulder", verdict = "pass" } };
        var refused = (await yard.Admin.PostAsync($"{yard.Path}/trials", new { step = "mounted-still", on = yard.Today, items })).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        Assert.Contains("Nobody mounts before the saddler has said in writing", CommissioningYard.Text(refused["detail"]), StringComparison.Ordinal);
        await yard.Admin.MakeAsync($"/v1/horses/{yard.Yard.HorseId}/observations", new { observedOn = yard.Today, kind = "heat" });
        (await yard.TryAsync("mounted-still")).ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");
        (await yard.Admin.PostAsync($"{yard.Path}/trials", new { step = "walk", on = yard.Today, items })).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "impossible");
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Soreness_afterAPassedTrial_opensItAgain(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 60);
        await yard.CutAsync(await yard.Yard.MeasureAsync(318), 320);
        await yard.TryAllAsync();
        await yard.StageAsync("passed");

        await yard.Admin.MakeAsync($"/v1/horses/{yard.Yard.HorseId}/observations", new { observedOn = yard.Today, kind = "soreness", severity = "mild" });
        await service.SettledAsync();

        Assert.Equal("tree-trial", await yard.StandsAsync());
        var trial = (await yard.Admin.GetAsync($"{yard.Path}/trial")).Should(HttpStatusCode.OK);
        Assert.Equal("fail", CommissioningYard.Text(trial["verdict"]));
        Assert.Contains("The back was sore after the trial", trial["cautions"]!.ToJsonString(), StringComparison.Ordinal);
        (await yard.TryStageAsync("passed")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
    }

    [Fact]
    public async Task Trial_feltTheNextDayAndFailed_opensItAgain()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 60);
        await yard.CutAsync(await yard.Yard.MeasureAsync(318), 320);
        await yard.TryAllAsync();
        await yard.StageAsync("passed");
        await yard.StageAsync("finished");
        await service.PassDaysAsync(1);

        var felt = (await yard.TryAsync("after", ("felt-next-day", new { item = "felt-next-day", verdict = "fail" }))).Should(HttpStatusCode.Created);

        Assert.Equal(("tree-trial", "fail"), (CommissioningYard.Text(felt["stage"]), CommissioningYard.Text(felt["verdict"])));
        (await yard.TryStageAsync("passed")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
    }

    [Fact]
    public async Task Trial_whereTreeAndBackSayOtherwise_pointsItOut()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 60);
        await yard.CutAsync(await yard.Yard.MeasureAsync(345), 290);

        var tried = (await yard.TryAsync("standing")).Should(HttpStatusCode.Created);

        Assert.StartsWith("Contact was found as it should be, but from tree and back as measured:", CommissioningYard.Text(Assert.Single(tried["disagreements"]!.AsArray())), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Template_tooOld_isRefused_unlessSomebodySaysWhy()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        var measurementId = await yard.Yard.MeasureAsync(318);
        await yard.OrderAsync(320, 200);
        await yard.StageAsync("measured", measurementId);
        await service.PassDaysAsync(56);
        Assert.Contains("two months", (await yard.StageAsync("template-sent"))["warnings"]!.ToJsonString(), StringComparison.Ordinal);
        await service.PassDaysAsync(56);

        Assert.Contains("too old", CommissioningYard.Text((await yard.TryStageAsync("tree-cut")).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "impossible")["detail"]), StringComparison.Ordinal);
        var cut = (await yard.TryStageAsync("tree-cut", overrideReason: "The horse is full grown and rests.")).Should(HttpStatusCode.OK);

        Assert.Equal("The horse is full grown and rests.", CommissioningYard.Text(cut["history"]!.AsArray()[^1]!["overrideReason"]));
    }

    [Fact]
    public async Task Delivered_withoutTheTreeAsMeasured_saysThatItIsMissing()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 60);
        await yard.StageAsync("measured", await yard.Yard.MeasureAsync(318));
        foreach (var stage in new[] { "template-sent", "tree-cut", "tree-trial" })
            await yard.StageAsync(stage);
        await yard.TryAllAsync();
        await yard.StageAsync("passed");
        await yard.StageAsync("finished");

        var refused = (await yard.TryStageAsync("delivered")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");

        Assert.Contains($"/v1/saddles/{yard.SaddleId}/tree-shapes", CommissioningYard.Text(refused["detail"]), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Commission_ofAnotherYard_isNotThere()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 60);
        var stranger = await (await Yardful.SettleAsync(service, "Mill Bottom")).KeyOfAsync(null, "fit", "manage");

        foreach (var path in new[] { "", "/outlook", "/trial", "/trials", "/templates", "/tree-against-order", "/bedding-in" })
            (await stranger.GetAsync(yard.Path + path)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.PostAsync($"{yard.Path}/stages", new { stage = "refused", on = yard.Today }, ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        Assert.Empty((await stranger.GetAsync("/v1/commissions")).Items);
        Assert.Single((await yard.Admin.GetAsync($"/v1/commissions?horseId={yard.Yard.HorseId}&stage=ordered")).Items);
    }

    [Fact]
    public async Task Outlook_asOfAnEarlierDay_knowsNothingOfTheTreeThatCameLater()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 90);
        var measurementId = await yard.Yard.MeasureAsync(318);
        var earlier = yard.Today;
        var then = (await yard.Admin.GetAsync($"{yard.Path}/outlook?asOf={earlier}")).Should(HttpStatusCode.OK).Text;
        await service.PassDaysAsync(7);
        await yard.CutAsync(measurementId, 300);

        Assert.Equal("as-measured", CommissioningYard.Text((await yard.Admin.GetAsync($"{yard.Path}/outlook"))["tree"]));
        Assert.Equal(then, (await yard.Admin.GetAsync($"{yard.Path}/outlook?asOf={earlier}")).Text);
    }

    [Fact]
    public async Task Saddler_erased_isNamedNowhereAnyMore()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 60);
        await yard.CutAsync(await yard.Yard.MeasureAsync(318), 320);
        await yard.TryAsync("standing", ("contact", new { item = "contact", verdict = "alter", note = "Tamsin Rowe is to look at it." }));
        await yard.Admin.PostAsync($"{yard.Path}/stages", new { stage = "altered", on = yard.Today, note = "By Tamsin Rowe." }, ("If-Match", "*"));

        (await yard.Admin.PostAsync($"/v1/people/{yard.SaddlerId}/erase", new { }, ("If-Match", "*"))).Should(HttpStatusCode.OK);

        Assert.DoesNotContain("Tamsin Rowe", await StoreContent.TextAsync(service), StringComparison.Ordinal);
        Assert.Contains("is to look at it.", (await yard.Admin.GetAsync($"{yard.Path}/trials")).Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Order_repeatedWithItsKey_isOneCommission_andOnlyASaddlerMakesIt()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        var order = yard.Order(320, yard.Day(60));
        var once = (await yard.Admin.PostAsync("/v1/commissions", order, ("Idempotency-Key", "once"))).Should(HttpStatusCode.Created);
        var again = (await yard.Admin.PostAsync("/v1/commissions", order, ("Idempotency-Key", "once"))).Should(HttpStatusCode.Created);

        Assert.Equal(once.Text, again.Text);
        Assert.Single((await yard.Admin.GetAsync("/v1/commissions")).Items);
        (await yard.Admin.PostAsync("/v1/commissions", order)).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        var byFitter = System.Text.Json.Nodes.JsonNode.Parse(System.Text.Json.JsonSerializer.Serialize(order))!;
        (byFitter["saddlerId"], byFitter["saddleId"]) = (yard.Yard.FitterId, yard.Yard.SaddleId);
        Assert.Contains("/saddlerId", (await yard.Admin.PostAsync("/v1/commissions", byFitter.ToJsonString())).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "impossible").Text, StringComparison.Ordinal);
    }
}
