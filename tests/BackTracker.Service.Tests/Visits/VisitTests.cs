using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Visits;

/// <summary>Planning, moving and losing a visit: with all of its checks or with none.</summary>
public sealed class VisitTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Visit_planned_booksItsChecks_andIsListedWithThem(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var world = await VisitingYard.SettleAsync(service);

        var path = await world.PlanAsync(VisitingYard.Tomorrow, world.Checks[1], world.Checks[0]);

        var visit = (await world.Admin.GetAsync(path)).Should(HttpStatusCode.OK);
        Assert.Equal(("planned", VisitingYard.Tomorrow, "Ring the bell."), (VisitingYard.Text(visit["state"]), VisitingYard.Text(visit["on"]), VisitingYard.Text(visit["note"])));
        Assert.Equal(["Bramble", "Sorrel"], visit["checks"]!.AsArray().Select(c => VisitingYard.Text(c!["horseName"])));
        Assert.Equal(("booked", VisitingYard.Tomorrow, path.Split('/')[^1]), await world.StandingAsync(0));
        Assert.Equal(["book for 2026-11-26"], await world.StepsAsync(0));
        Assert.Equal("open", (await world.StandingAsync(2)).State);
        foreach (var (query, found) in new[] { ("state=planned", 1), ("state=done", 0), ("from=2026-11-26&to=2026-11-26", 1), ("from=2026-11-27", 0), ("to=2026-11-25", 0), ($"fitterId={world.Yard.VetId}", 0), ($"yardId={world.Yard.YardId}&fitterId={world.Yard.FitterId}", 1) })
            Assert.Equal(found, (await world.Admin.GetAsync($"/v1/visits?{query}")).Items.Count);
        Assert.Equal(2, (await world.Admin.GetAsync("/v1/visits")).Items[0]!["checks"]!.AsArray().Count);
    }

    [Fact]
    public async Task Visit_withOneCheckThatCannotBeBooked_booksNone_andNamesIt()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        var elsewhere = await Yardful.SettleAsync(service, "Mill Bottom");
        await elsewhere.MeasureAsync(340);
        await service.SettledAsync();
        var foreign = (await world.Admin.GetAsync($"/v1/checks?horseId={elsewhere.HorseId}&state=open")).Items.Single(c => VisitingYard.Text(c!["kind"]) == "refit")!["id"]!.GetValue<string>();
        await world.PlanAsync(VisitingYard.Tomorrow, world.Checks[2]);

        async Task<Reply> Plan(string second, string? fitterId = null, string on = VisitingYard.Tomorrow) =>
            await world.Admin.PostAsync("/v1/visits", new { yardId = world.Yard.YardId, fitterId = fitterId ?? world.Yard.FitterId, on, checkIds = new[] { world.Checks[0], second } });

        (await Plan(world.Checks[2])).ShouldPoint(409, "conflict", "/checkIds/1");
        (await Plan(world.Checks[0])).ShouldPoint(409, "conflict", "/checkIds/1");
        (await Plan(foreign)).ShouldPoint(404, "not-found", "/checkIds/1");
        (await Plan(world.Checks[1], world.Yard.VetId)).ShouldPoint(422, "impossible", "/fitterId");
        (await Plan(world.Checks[1], on: VisitingYard.Today.Replace("2026", "2025", StringComparison.Ordinal))).ShouldPoint(422, "impossible", "/on");
        (await world.Admin.PostAsync("/v1/visits", new { yardId = world.Yard.YardId, on = VisitingYard.Tomorrow, checkIds = new[] { world.Checks[0] } })).ShouldPoint(422, "impossible", "/fitterId");
        await world.Admin.MakeAsync($"/v1/horses/{world.Horses[1]}/observations", new { observedOn = VisitingYard.Today, kind = "heat" });
        (await Plan(world.Checks[1])).ShouldPoint(409, "vet-first", "/checkIds/1");

        Assert.Equal("open", (await world.StandingAsync(0)).State);
        Assert.Single((await world.Admin.GetAsync("/v1/visits")).Items);
    }

    [Fact]
    public async Task Visit_moved_movesAllItsBookings_andOnToAPossibleDayOnly()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        var path = await world.PlanAsync(VisitingYard.Tomorrow, world.Checks[0], world.Checks[1]);

        (await world.ActAsync(path, "move", new { on = "2026-11-20", reason = "Snow." })).ShouldPoint(422, "impossible", "/on");
        (await world.ActAsync(path, "move", new { on = VisitingYard.Tomorrow, reason = "Snow." })).ShouldPoint(422, "impossible", "/on");
        (await world.ActAsync(path, "move", new { on = "2026-12-01", reason = "Snow." })).Should(HttpStatusCode.OK);

        Assert.Equal("2026-12-01", VisitingYard.Text((await world.Admin.GetAsync(path))["on"]));
        Assert.Equal(["2026-12-01", "2026-12-01"], new[] { (await world.StandingAsync(0)).On, (await world.StandingAsync(1)).On });
        Assert.Equal(["book for 2026-11-26", "move to 2026-12-01: Snow."], await world.StepsAsync(0));
    }

    [Fact]
    public async Task Visit_withACheckThatWaitsForTheVet_saysHowTheOthersAreMoved()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        var path = await world.PlanAsync(VisitingYard.Tomorrow, world.Checks[0], world.Checks[1]);
        await world.Admin.MakeAsync($"/v1/horses/{world.Horses[1]}/observations", new { observedOn = VisitingYard.Today, kind = "heat" });
        await service.SettledAsync();

        var refused = (await world.ActAsync(path, "move", new { on = "2026-12-01", reason = "Snow." })).ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");
        Assert.Contains("Sorrel", VisitingYard.Text(refused["detail"]), StringComparison.Ordinal);
        Assert.EndsWith("Take it off the visit first (unbook), and the others can be moved.", VisitingYard.Text(refused["detail"]), StringComparison.Ordinal);

        (await world.ActAsync($"/v1/checks/{world.Checks[1]}", "unbook", new { reason = "Waits for the vet." })).Should(HttpStatusCode.OK);
        await service.SettledAsync();
        (await world.ActAsync(path, "move", new { on = "2026-12-01", reason = "Snow." })).Should(HttpStatusCode.OK);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Visit_fallenThrough_opensEveryCheckWithTheReason_andIsOver(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var world = await VisitingYard.SettleAsync(service);
        var path = await world.PlanAsync(VisitingYard.Tomorrow, world.Checks[0], world.Checks[1]);

        var fallen = (await world.ActAsync(path, "fall-through", new { reason = "The van broke down." })).Should(HttpStatusCode.OK);

        Assert.Equal(("fell-through", "The van broke down."), (VisitingYard.Text(fallen["state"]), VisitingYard.Text(fallen["closingNote"])));
        for (var i = 0; i < 2; i++)
        {
            Assert.Equal(("open", null, null), await world.StandingAsync(i));
            Assert.Equal("unbook The van broke down.", (await world.StepsAsync(i))[^1]);
        }
        foreach (var (action, body) in new (string, object)[] { ("move", new { on = "2026-12-01", reason = "Snow." }), ("fall-through", new { reason = "Again." }), ("add", new { checkIds = new[] { world.Checks[2] } }) })
            (await world.ActAsync(path, action, body)).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        (await world.Admin.GetAsync($"{path}/sheet")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
    }

    [Fact]
    public async Task Check_joinsAndLeavesAVisit_andTheVisitChangesWithIt()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        var path = await world.PlanAsync(VisitingYard.Tomorrow, world.Checks[0]);
        var (visitId, check) = (path.Split('/')[^1], $"/v1/checks/{world.Checks[1]}");
        var etag = (await world.Admin.GetAsync(path)).Etag;

        (await world.ActAsync(check, "book", new { on = "2026-11-27", visitId })).ShouldPoint(422, "impossible", "/on");
        (await world.ActAsync(check, "book", new { on = VisitingYard.Tomorrow, visitId, fitterId = world.Yard.VetId })).ShouldPoint(422, "impossible", "/fitterId");
        (await world.ActAsync(check, "book", new { on = VisitingYard.Tomorrow, visitId = world.Checks[0] })).ShouldPoint(422, "impossible", "/visitId");
        (await world.ActAsync(check, "book", new { on = VisitingYard.Tomorrow, visitId })).Should(HttpStatusCode.OK);
        Assert.Equal(("booked", VisitingYard.Tomorrow, visitId), await world.StandingAsync(1));
        (await world.ActAsync(path, "add", new { checkIds = new[] { world.Checks[2] } })).Should(HttpStatusCode.OK);

        (await world.Admin.PostAsync($"{path}/move", new { on = "2026-12-01", reason = "Snow." }, ("If-Match", etag))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");
        (await world.Admin.PostAsync($"{path}/move", new { on = "2026-12-01", reason = "Snow." })).ShouldBeProblem((HttpStatusCode)428, "if-match-missing");
        var before = await world.Admin.GetAsync(path);
        Assert.Equal(3, before["checks"]!.AsArray().Count);

        (await world.ActAsync(check, "unbook", new { reason = "Away that day." })).Should(HttpStatusCode.OK);

        var after = await world.Admin.GetAsync(path);
        Assert.Equal(["Bramble", "Teasel"], after["checks"]!.AsArray().Select(c => VisitingYard.Text(c!["horseName"])));
        Assert.NotEqual(before.Etag, after.Etag);
        Assert.Equal(("open", null, null), await world.StandingAsync(1));
    }

    [Fact]
    public async Task Visit_sentTwiceWithOneKey_isPlannedOnce()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        var body = new { yardId = world.Yard.YardId, fitterId = world.Yard.FitterId, on = VisitingYard.Tomorrow, checkIds = new[] { world.Checks[0] } };

        var first = (await world.Admin.PostAsync("/v1/visits", body, ("Idempotency-Key", "one"))).Should(HttpStatusCode.Created);
        var again = (await world.Admin.PostAsync("/v1/visits", body, ("Idempotency-Key", "one"))).Should(HttpStatusCode.Created);

        Assert.Equal(first.Text, again.Text);
        Assert.Single((await world.Admin.GetAsync("/v1/visits")).Items);
    }

    [Fact]
    public async Task Sheet_ofAVisit_holdsItsOwnChecksAlone()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        var path = await world.PlanAsync(VisitingYard.Tomorrow, world.Checks[1]);

        var sheet = (await world.Admin.GetAsync($"{path}/sheet")).Should(HttpStatusCode.OK);
        var pdf = (await world.Admin.GetAsync($"{path}/sheet.pdf")).Should(HttpStatusCode.OK);

        Assert.Equal((VisitingYard.Tomorrow, "Morwen Hale"), (VisitingYard.Text(sheet["on"]), VisitingYard.Text(sheet["fitter"]!["name"])));
        Assert.Equal(["Sorrel"], sheet["horses"]!.AsArray().Select(h => VisitingYard.Text(h!["horse"]!["name"])));
        Assert.Equal("application/pdf", pdf.ContentHeaders.ContentType!.MediaType);
    }

    [Fact]
    public async Task Proposals_nameTheOpenChecksThatGoTogether_onADayTheFitterWorks()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        await world.Admin.PutAsync($"/v1/people/{world.Yard.FitterId}", new { name = "Morwen Hale", role = "fitter", yardIds = new[] { world.Yard.YardId }, workingDays = new[] { "friday" } }, ("If-Match", "*"));
        await world.PlanAsync("2026-11-27", world.Checks[2]);
        var proposals = $"/v1/yards/{world.Yard.YardId}/visit-proposals?fitterId={world.Yard.FitterId}";

        var proposal = Assert.Single((await world.Admin.GetAsync(proposals)).Items)!;

        Assert.Equal("2026-11-27", VisitingYard.Text(proposal["on"]));
        Assert.StartsWith("2 checks can be done together on 27 November 2026", VisitingYard.Text(proposal["text"]), StringComparison.Ordinal);
        Assert.Equal(world.Checks.Take(2), proposal["checks"]!.AsArray().Select(c => VisitingYard.Text(c!["id"])));
        await world.Admin.MakeAsync($"/v1/horses/{world.Horses[1]}/observations", new { observedOn = VisitingYard.Today, kind = "heat" });
        await service.SettledAsync();
        Assert.Equal(world.Checks.Take(1), Assert.Single((await world.Admin.GetAsync(proposals)).Items)!["checks"]!.AsArray().Select(c => VisitingYard.Text(c!["id"])));
    }
}
