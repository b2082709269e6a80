using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Checks;

public sealed class CheckTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Check_bookedThenFallenThrough_isOpenAgainAndTellsItsLife(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var (yard, path) = await OutOfToleranceAsync(service);

        await ActAsync(service, path, "book", new { on = "2026-11-26", fitterId = yard.FitterId });
        var unbooked = await ActAsync(service, path, "unbook", new { reason = "The van broke down." });

        Assert.Equal(("open", null), (unbooked["state"]!.GetValue<string>(), unbooked["bookedOn"]));
        var steps = (await service.Admin.GetAsync(path + "/history"))["steps"]!.AsArray();
        Assert.Equal(["open", "book", "unbook"], steps.Select(s => s!["action"]!.GetValue<string>()));
        Assert.Equal("The van broke down.", steps[^1]!["note"]!.GetValue<string>());
        Assert.Contains((await service.Admin.GetAsync($"/v1/checks?state=open&yardId={yard.YardId}&dueBefore=2027-01-01")).Items, c => path.EndsWith(c!["id"]!.GetValue<string>(), StringComparison.Ordinal));
    }

    [Fact]
    public async Task Check_onAClosedDayOrAPastOne_isNotBooked()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, path) = await OutOfToleranceAsync(service);
        var yardPath = $"/v1/yards/{yard.YardId}";
        await service.Admin.PutAsync(yardPath, new { name = "Larkfield", timeZone = "UTC", closedDays = new[] { "sunday", "2026-12-25" } }, ("If-Match", (await service.Admin.GetAsync(yardPath)).Etag));
        await service.SettledAsync();
        var etag = (await service.Admin.GetAsync(path)).Etag;

        foreach (var day in new[] { "2026-11-24", "2026-11-29", "2026-12-25" })
            Assert.NotNull((await service.Admin.PostAsync(path + "/book", new { on = day, fitterId = yard.FitterId }, ("If-Match", etag))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible")["errors"]!["/on"]);
        Assert.Equal(etag, (await service.Admin.GetAsync(path)).Etag);
    }

    [Fact]
    public async Task Check_byTheWrongPersonOrOnAnImpossibleDay_isRefusedAtTheMember()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, path) = await OutOfToleranceAsync(service);
        foreach (var (action, body, pointer) in new (string, object, string)[]
        {
            ("book", new { on = "2026-11-26", fitterId = yard.VetId }, "/fitterId"),
            ("book", new { on = "2199-01-01", fitterId = yard.FitterId }, "/on"),
            ("complete", new { on = "1960-01-01", by = yard.FitterId }, "/on"),
        })
            Assert.NotNull((await service.Admin.PostAsync($"{path}/{action}", body, ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible")["errors"]![pointer]);
    }

    [Fact]
    public async Task Check_postponedBeyondItsWindow_needsTheRiskAcceptedInSoManyWords()
    {
        await using var service = await RunningService.StartAsync();
        var (_, path) = await OutOfToleranceAsync(service);
        var check = await service.Admin.GetAsync(path);
        var later = Day(check["closesOn"]).AddDays(1).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

        (await service.Admin.PostAsync(path + "/postpone", new { until = later, reason = "Away." }, ("If-Match", check.Etag))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        var postponed = (await service.Admin.PostAsync(path + "/postpone", new { until = later, reason = "Away.", acceptRisk = true }, ("If-Match", check.Etag))).Should(HttpStatusCode.OK);
        await service.SettledAsync();

        Assert.Equal((later, true), (postponed["dueOn"]!.GetValue<string>(), postponed["acceptedRisk"]!.GetValue<bool>()));
        Assert.Equal(later, (await service.Admin.GetAsync(path))["dueOn"]!.GetValue<string>());
    }

    // Out of tolerance: do not ride in it. Putting that off does not make it routine.
    [Fact]
    public async Task Check_toBeDoneBeforeTheNextRide_isPutOffOnlyWithTheRiskAccepted_andStaysAsUrgent()
    {
        await using var service = await RunningService.StartAsync();
        var (_, path) = await OutOfToleranceAsync(service);
        var check = await service.Admin.GetAsync(path);
        var later = Day(check["dueOn"]).AddDays(1).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        Assert.True(Day(check["dueOn"]).AddDays(1) <= Day(check["closesOn"]));

        (await service.Admin.PostAsync(path + "/postpone", new { until = later, reason = "Away." }, ("If-Match", check.Etag))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        await ActAsync(service, path, "postpone", new { until = later, reason = "Away.", acceptRisk = true });
        await service.SettledAsync();

        var postponed = await service.Admin.GetAsync(path);
        Assert.Equal((later, "now", true), (postponed["dueOn"]!.GetValue<string>(), postponed["urgency"]!.GetValue<string>(), postponed["acceptedRisk"]!.GetValue<bool>()));
    }

    [Fact]
    public async Task Check_isNotPutOffToADayThatHasPassed()
    {
        await using var service = await RunningService.StartAsync();
        var (_, path) = await OutOfToleranceAsync(service);
        service.Clock.Advance(TimeSpan.FromDays(10));

        (await service.Admin.PostAsync(path + "/postpone", new { until = "2026-12-04", reason = "Away.", acceptRisk = true }, ("If-Match", "*"))).ShouldPoint(422, "impossible", "/until");
        (await service.Admin.PostAsync(path + "/postpone", new { until = "2026-12-05", reason = "Away.", acceptRisk = true }, ("If-Match", "*"))).Should(HttpStatusCode.OK);
    }

    [Fact]
    public async Task Check_bookedAgainByTheManager_staysWithTheFitterItWasBookedWith()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, path) = await OutOfToleranceAsync(service);
        await ActAsync(service, path, "book", new { on = "2026-11-26", fitterId = yard.FitterId });
        await ActAsync(service, path, "unbook", new { reason = "The van broke down." });

        var manager = await yard.KeyOfAsync(yard.ManagerId, "manage", "read");
        var again = (await manager.PostAsync(path + "/book", new { on = "2026-11-27" }, ("If-Match", "*"))).Should(HttpStatusCode.OK);

        Assert.Equal(yard.FitterId, again["fitterId"]!.GetValue<string>());
    }

    [Fact]
    public async Task Check_ofAHorseThatMoves_isBookedNoMore()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await service.SettledAsync();
        var check = (await service.Admin.GetAsync("/v1/checks?state=open")).Items.Single(c => c!["kind"]!.GetValue<string>() == "remeasure")!["id"]!.GetValue<string>();
        var visit = await service.Admin.MakeAsync("/v1/visits", new { yardId = yard.YardId, fitterId = yard.FitterId, on = "2026-11-27", checkIds = new[] { check } });
        var there = await service.Admin.MakeAsync("/v1/yards", new { name = "Mill Bottom", timeZone = "UTC" });

        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/moves", new { on = "2026-11-25", toYardId = there });

        var left = await service.Admin.GetAsync($"/v1/checks/{check}");
        Assert.Equal(("open", null, null, null), (left["state"]!.GetValue<string>(), left["bookedOn"], left["visitId"], left["fitterId"]));
        Assert.Equal("The horse left the yard.", (await service.Admin.GetAsync($"/v1/checks/{check}/history"))["steps"]!.AsArray().Single(s => s!["action"]!.GetValue<string>() == "unbook")!["note"]!.GetValue<string>());
        Assert.Empty((await service.Admin.GetAsync($"/v1/visits/{visit}"))["checks"]!.AsArray());
    }

    [Fact]
    public async Task VetCheck_isNotPutOff()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = "2026-11-25", kind = "heat" });
        await service.SettledAsync();
        var vet = (await service.Admin.GetAsync("/v1/checks?state=open")).Items.Single(c => c!["kind"]!.GetValue<string>() == "vet")!;

        (await service.Admin.PostAsync($"/v1/checks/{vet["id"]}/postpone", new { until = "2027-02-01", reason = "No time.", acceptRisk = true }, ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");

        Assert.Equal(vet["dueOn"]!.GetValue<string>(), (await service.Admin.GetAsync($"/v1/checks/{vet["id"]}"))["dueOn"]!.GetValue<string>());
    }

    [Theory]
    [InlineData("2026-11-27", "Next possible: 2026-12-01, 2026-12-03, 2026-12-08.")]
    [InlineData("2026-11-26", "is closed on 2026-11-26. Next possible: 2026-12-01, 2026-12-03, 2026-12-08.")]
    public async Task Check_onADayOnWhichTheFitterDoesNotWorkOrTheYardIsClosed_isRefusedWithTheNextDaysThatAre(string on, string said)
    {
        await using var service = await RunningService.StartAsync();
        var (yard, path) = await OutOfToleranceAsync(service);
        await ChangeAsync(service, $"/v1/people/{yard.FitterId}", new { name = "Morwen Hale", role = "fitter", yardIds = new[] { yard.YardId }, workingDays = new[] { "tuesday", "thursday" } });
        await ChangeAsync(service, $"/v1/yards/{yard.YardId}", new { name = "Larkfield", timeZone = "UTC", closedDays = new[] { "2026-11-26" } });
        await service.SettledAsync();

        var refused = (await service.Admin.PostAsync(path + "/book", new { on, fitterId = yard.FitterId }, ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");

        Assert.EndsWith(said, refused["errors"]!["/on"]![0]!.GetValue<string>(), StringComparison.Ordinal);
        await ActAsync(service, path, "book", new { on = "2026-12-01", fitterId = yard.FitterId });
    }

    [Fact]
    public async Task Check_doneOrDropped_isOver()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, path) = await OutOfToleranceAsync(service);

        await ActAsync(service, path, "drop", new { reason = "The saddle is not used any more." });

        (await service.Admin.PostAsync(path + "/book", new { on = "2026-11-26", fitterId = yard.FitterId }, ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        await service.SettledAsync();
        Assert.DoesNotContain((await service.Admin.GetAsync("/v1/checks?state=open")).Items, c => c!["kind"]!.GetValue<string>() == "refit");
    }

    [Fact]
    public async Task Check_completedWithABadAdjustment_pointsAtItAndChangesNothing()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, path) = await OutOfToleranceAsync(service);

        var refused = (await service.Admin.PostAsync(path + "/complete", new
        {
            on = "2026-11-25",
            by = yard.FitterId,
            findings = new object[] { "Narrow.", new { text = "Pressing.", station = "T13", side = "left" } },
            adjustments = new object[] { new { kind = "tree", zones = new[] { new { side = "left", zone = "middle", mm = 5 } } }, new { kind = "flocking" } },
        }, ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");

        Assert.NotNull(refused["errors"]!["/adjustments/1/zones"]);
        Assert.Empty((await service.Admin.GetAsync($"/v1/saddles/{yard.SaddleId}/adjustments")).Items);
        Assert.Equal("open", (await service.Admin.GetAsync(path))["state"]!.GetValue<string>());
    }

    [Fact]
    public async Task Remeasure_isClosedByTheMeasurementAlone()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await service.SettledAsync();
        var remeasure = (await service.Admin.GetAsync("/v1/checks?state=open")).Items.Single(c => c!["kind"]!.GetValue<string>() == "remeasure")!;
        var path = $"/v1/checks/{remeasure["id"]}";

        (await service.Admin.PostAsync(path + "/complete", new { on = "2026-11-25", by = yard.ManagerId }, ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        await yard.MeasureAsync(320);
        await service.SettledAsync();

        Assert.Equal("done", (await service.Admin.GetAsync(path))["state"]!.GetValue<string>());
    }

    [Fact]
    public async Task Horse_soldOrMoved_hasNoChecksAndNoSaddleOfTheOldYard()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, path) = await OutOfToleranceAsync(service);
        var there = await service.Admin.MakeAsync("/v1/yards", new { name = "Mill Bottom", timeZone = "UTC" });

        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/moves", new { on = "2026-11-25", toYardId = there });
        Assert.Equal("2026-11-25", (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}"))["to"]!.GetValue<string>());
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/moves", new { on = "2026-11-25", status = "sold" });
        await service.SettledAsync();

        Assert.Equal("dropped", (await service.Admin.GetAsync(path))["state"]!.GetValue<string>());
        Assert.Empty((await service.Admin.GetAsync($"/v1/checks?state=open&horseId={yard.HorseId}")).Items);
        Assert.Empty((await service.Admin.GetAsync($"/v1/yards/{there}/board"))["horses"]!.AsArray());
    }

    /// <summary>A horse 20 mm wider than its tree, and the address of the re-fit that this opens.</summary>
    private static async Task<(Yardful Yard, string Path)> OutOfToleranceAsync(RunningService service)
    {
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(340);
        await service.SettledAsync();
        var refit = (await service.Admin.GetAsync("/v1/checks?state=open")).Items.Single(c => c!["kind"]!.GetValue<string>() == "refit")!;
        Assert.Equal(("now", "out-now"), (refit["urgency"]!.GetValue<string>(), refit["reasons"]![0]!["cause"]!.GetValue<string>()));
        return (yard, $"/v1/checks/{refit["id"]}");
    }

    private static async Task ChangeAsync(RunningService service, string path, object body) =>
        (await service.Admin.PutAsync(path, body, ("If-Match", (await service.Admin.GetAsync(path)).Etag))).Should(HttpStatusCode.OK);

    private static async Task<Reply> ActAsync(RunningService service, string path, string action, object body) =>
        (await service.Admin.PostAsync($"{path}/{action}", body, ("If-Match", (await service.Admin.GetAsync(path)).Etag))).Should(HttpStatusCode.OK);

    private static DateOnly Day(JsonNode? node) => DateOnly.ParseExact(node!.GetValue<string>(), "yyyy-MM-dd", CultureInfo.InvariantCulture);
}
