using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Visits;

/// <summary>Reporting a visit in one call.</summary>
public sealed class VisitReportTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Visit_reported_closesWhatWasDone_startsItsClocksAnew_andOpensWhatWasNot(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var world = await VisitingYard.SettleAsync(service);
        var path = await world.PlanAsync(VisitingYard.Today, [.. world.Checks]);

        var done = (await world.ActAsync(path, "complete", new
        {
            on = VisitingYard.Today,
            note = "Icy road.",
            checks = new object[] { Opened(world.Checks[0]), new { checkId = world.Checks[1] }, new { checkId = world.Checks[2], notDone = "Out on a hack." } },
        })).Should(HttpStatusCode.OK);
        await service.SettledAsync();

        Assert.Equal(("done", "Icy road.", world.Yard.FitterId), (VisitingYard.Text(done["state"]), VisitingYard.Text(done["closingNote"]), VisitingYard.Text(done["doneBy"])));
        Assert.Equal(["Bramble", "Sorrel"], done["checks"]!.AsArray().Select(c => VisitingYard.Text(c!["horseName"])));
        var bramble = await world.CheckAsync(0);
        Assert.Equal(("done", VisitingYard.Today, world.Yard.FitterId, "Narrow; opened."), (VisitingYard.Text(bramble["state"]), VisitingYard.Text(bramble["doneOn"]), VisitingYard.Text(bramble["doneBy"]), VisitingYard.Text(bramble["findings"]![0]!["text"])));
        Assert.Equal(world.Checks[0], VisitingYard.Text(Assert.Single((await world.Admin.GetAsync($"/v1/saddles/{world.Yard.SaddleId}/adjustments")).Items)!["checkId"]));
        Assert.DoesNotContain((await world.Admin.GetAsync($"/v1/checks?horseId={world.Horses[0]}&state=open")).Items, c => VisitingYard.Text(c!["kind"]) is "refit" or "fit");
        Assert.Equal(("open", null, null), await world.StandingAsync(2));
        Assert.Equal("unbook Out on a hack.", (await world.StepsAsync(2))[^1]);
    }

    [Fact]
    public async Task Report_thatLeavesOutRepeatsOrInventsACheck_orIsWrongInOne_changesNothing()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        var path = await world.PlanAsync(VisitingYard.Today, world.Checks[0], world.Checks[1]);
        object Done(int i) => new { checkId = world.Checks[i] };
        Task<Reply> Report(params object[] checks) => world.ActAsync(path, "complete", new { on = VisitingYard.Today, checks });

        Assert.Contains("Sorrel", (await Report(Done(0))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible")["errors"]!["/checks"]![0]!.GetValue<string>(), StringComparison.Ordinal);
        (await Report(Done(0), Done(0), Done(1))).ShouldPoint(422, "impossible", "/checks/1/checkId");
        (await Report(Done(0), Done(1), Done(2))).ShouldPoint(422, "impossible", "/checks/2/checkId");
        (await Report(Done(0), new { checkId = world.Checks[1], findings = new[] { "Narrow." }, notDone = "Away." })).ShouldPoint(422, "impossible", "/checks/1/notDone");
        (await Report(Opened(world.Checks[0]), new { checkId = world.Checks[1], adjustments = new[] { new { kind = "flocking" } } })).ShouldPoint(422, "impossible", "/checks/1/adjustments/0/zones");
        (await world.ActAsync(path, "complete", new { on = VisitingYard.Tomorrow, checks = new[] { Done(0), Done(1) } })).ShouldPoint(422, "impossible", "/on");
        (await world.ActAsync(path, "complete", new { on = VisitingYard.Today, by = world.Horses[0], checks = new[] { Done(0), Done(1) } })).ShouldPoint(422, "impossible", "/by");

        Assert.Equal("planned", VisitingYard.Text((await world.Admin.GetAsync(path))["state"]));
        Assert.Equal(["booked", "booked"], new[] { (await world.StandingAsync(0)).State, (await world.StandingAsync(1)).State });
        Assert.Empty((await world.Admin.GetAsync($"/v1/saddles/{world.Yard.SaddleId}/adjustments")).Items);
    }

    [Fact]
    public async Task Visit_onWhichNothingWasDone_isNotReportedAsDone()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        var path = await world.PlanAsync(VisitingYard.Today, world.Checks[0]);

        var refused = (await world.ActAsync(path, "complete", new { on = VisitingYard.Today, checks = new[] { new { checkId = world.Checks[0], notDone = "Nobody was in." } } })).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");

        Assert.Contains("fall-through", VisitingYard.Text(refused["detail"]), StringComparison.Ordinal);
        Assert.Equal("planned", VisitingYard.Text((await world.Admin.GetAsync(path))["state"]));
    }

    // The fitter was to measure too: the check closes by the measurement, before the report or not at all.
    [Fact]
    public async Task RemeasureOnAVisit_thatWasMeasuredBeforeTheReport_isAnsweredByIt_andOneThatWasNotSaysHow()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await service.SettledAsync();
        var checkId = VisitingYard.Text((await service.Admin.GetAsync("/v1/checks?state=open")).Items.Single(c => VisitingYard.Text(c!["kind"]) == "remeasure")!["id"])!;
        var path = $"/v1/visits/{await service.Admin.MakeAsync("/v1/visits", new { yardId = yard.YardId, fitterId = yard.FitterId, on = VisitingYard.Today, checkIds = new[] { checkId } })}";
        Task<Reply> Report(object check) => service.Admin.PostAsync($"{path}/complete", new { on = VisitingYard.Today, checks = new[] { check } }, ("If-Match", "*"));

        Assert.Contains("notDone", VisitingYard.Text((await Report(new { checkId })).ShouldBeProblem(HttpStatusCode.Conflict, "conflict")["detail"]), StringComparison.Ordinal);

        await yard.MeasureAsync(320);
        await service.SettledAsync();
        (await Report(new { checkId, findings = new[] { "Grown." } })).ShouldPoint(422, "impossible", "/checks/0");
        Assert.Equal("done", VisitingYard.Text((await Report(new { checkId })).Should(HttpStatusCode.OK)["state"]));
    }

    [Fact]
    public async Task VetFirstSignSeenSinceTheBooking_refusesThatCheckInWords_andTheOthersCanBeReported()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        var path = await world.PlanAsync(VisitingYard.Today, world.Checks[0], world.Checks[1]);
        await world.Admin.MakeAsync($"/v1/horses/{world.Horses[1]}/observations", new { observedOn = VisitingYard.Today, kind = "heat", note = "Behind the withers." });
        await service.SettledAsync();

        var refused = (await world.ActAsync(path, "complete", new { on = VisitingYard.Today, checks = new[] { Opened(world.Checks[0]), Opened(world.Checks[1]) } })).ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");
        Assert.Contains("Say of this one why it was not done (notDone)", VisitingYard.Text(refused["errors"]!["/checks/1"]![0]), StringComparison.Ordinal);
        (await world.ActAsync(path, "move", new { on = "2026-12-01", reason = "Snow." })).ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");
        Assert.Empty((await world.Admin.GetAsync($"/v1/saddles/{world.Yard.SaddleId}/adjustments")).Items);

        (await world.ActAsync(path, "complete", new { on = VisitingYard.Today, checks = new object[] { Opened(world.Checks[0]), new { checkId = world.Checks[1], notDone = "Hot behind the withers: vet first." } } })).Should(HttpStatusCode.OK);

        Assert.Equal(["done", "open"], new[] { (await world.StandingAsync(0)).State, (await world.StandingAsync(1)).State });
    }

    [Fact]
    public async Task VisitWhoseChecksWereReportedOneByOne_isClosedWithNothingToAdd()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        var path = await world.PlanAsync(VisitingYard.Today, world.Checks[0]);
        (await world.ActAsync($"/v1/checks/{world.Checks[0]}", "complete", new { on = VisitingYard.Today, by = world.Yard.FitterId })).Should(HttpStatusCode.OK);

        var done = (await world.ActAsync(path, "complete", new { on = VisitingYard.Today, checks = Array.Empty<object>() })).Should(HttpStatusCode.OK);

        Assert.Equal(("done", 1), (VisitingYard.Text(done["state"]), done["checks"]!.AsArray().Count));
        var empty = await world.PlanAsync(VisitingYard.Today, world.Checks[1]);
        await world.ActAsync($"/v1/checks/{world.Checks[1]}", "unbook", new { reason = "Away." });
        (await world.ActAsync(empty, "complete", new { on = VisitingYard.Today, checks = Array.Empty<object>() })).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
    }

    private static object Opened(string checkId) => new
    {
        checkId,
        findings = new[] { "Narrow; opened." },
        adjustments = new[] { new { kind = "tree", zones = new[] { new { side = "left", zone = "middle", mm = 10 }, new { side = "right", zone = "middle", mm = 10 } } } },
    };
}
