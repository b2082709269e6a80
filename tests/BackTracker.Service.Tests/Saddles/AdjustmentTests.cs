using System.Net;
using BackTracker.Engine.Assessments;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Saddles;

namespace BackTracker.Service.Tests.Saddles;

public sealed class AdjustmentTests
{
    private const string LeftOnly = """{"doneOn":"2026-11-25","doneBy":"F","kind":"flocking","zones":[{"side":"left","zone":"rear","mm":3}]}""";
    private const string BothSides = """{"doneOn":"2026-11-25","doneBy":"F","kind":"flocking","zones":[{"side":"left","zone":"rear","mm":3},{"side":"right","zone":"rear","mm":3}]}""";

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Record_thenGetListAndVoid_keepsEverything(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var yard = await service.YardAsync();
        var path = $"/v1/saddles/{await service.SaddleAsync(yard)}/adjustments";
        var fitter = await service.FitterAsync(yard);

        var made = (await service.Admin.PostTextAsync(path, BothSides, ("F", fitter))).Should(HttpStatusCode.Created);

        Assert.Equal(made.Text, (await service.Admin.GetAsync(made.Headers.Location!.ToString())).Text);
        Assert.Equal(fitter, made["doneBy"]!.GetValue<string>());
        Assert.Equal(3, made["zones"]![1]!["mm"]!.GetValue<double>());
        Assert.Null(made["checkId"]);
        Assert.Single((await service.Admin.GetAsync(path)).Items);

        var voided = (await service.Admin.PostAsync($"{made.Headers.Location}/void", new { reason = "the other saddle" }, ("If-Match", made.Etag))).Should(HttpStatusCode.OK);
        Assert.Equal("the other saddle", voided["voidReason"]!.GetValue<string>());
        (await service.Admin.PostAsync($"{made.Headers.Location}/void", new { reason = "again" }, ("If-Match", voided.Etag))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
    }

    [Theory]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"F","kind":"flocking"}""", 422, "impossible", "/zones")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"F","kind":"tree","zones":[]}""", 422, "impossible", "/zones")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"F","kind":"shim"}""", 422, "impossible", "/zones")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"F","kind":"pad"}""", 422, "impossible", "/zones")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"F","kind":"pad","zones":[{"side":"left","zone":"rear","mm":51}]}""", 422, "impossible", "/zones/0/mm")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"F","kind":"pad","zones":[{"side":"left","zone":"rear","mm":-51}]}""", 422, "impossible", "/zones/0/mm")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"F","kind":"pad","zones":[{"side":"left","mm":5}]}""", 422, "impossible", "/zones/0/zone")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"F","kind":"pad","zones":[{"side":"left","zone":"rear","mm":5},{"side":"left","zone":"rear","mm":1}]}""", 422, "impossible", "/zones/1")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"F","kind":"pad","zones":[{"side":"near","zone":"rear","mm":5}]}""", 400, "malformed", "/zones/0/side")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"F","kind":"polish"}""", 400, "malformed", "/kind")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"F","kind":"repair","allZones":[]}""", 400, "unknown-member", "/allZones")]
    [InlineData("""{"doneOn":"2026-11-26","doneBy":"F","kind":"repair"}""", 422, "impossible", "/doneOn")]
    [InlineData("""{"doneBy":"F","kind":"repair"}""", 422, "impossible", "/doneOn")]
    [InlineData("""{"doneOn":"2026-11-25","kind":"repair"}""", 422, "impossible", "/doneBy")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"nobody","kind":"repair"}""", 422, "impossible", "/doneBy")]
    public async Task Record_badInput_saysWhereAndKeepsNothing(string body, int status, string kind, string? pointer)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();
        var path = $"/v1/saddles/{await service.SaddleAsync(yard)}/adjustments";

        var reply = await service.Admin.PostTextAsync(path, body, ("F", await service.FitterAsync(yard)));

        reply.ShouldPoint(status, kind, pointer);
        Assert.Empty((await service.Admin.GetAsync(path)).Items);
    }

    [Theory, InlineData("repair"), InlineData("balance")]
    public async Task Record_kindWithoutZones_isKept(string kind)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();

        (await service.Admin.PostAsync($"/v1/saddles/{await service.SaddleAsync(yard)}/adjustments", new { doneOn = TackSetup.Today, doneBy = await service.FitterAsync(yard), kind })).Should(HttpStatusCode.Created);
    }

    [Fact]
    public async Task Record_unequalSides_waitsForTheVet()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();
        var (saddle, fitter, horse) = (await service.SaddleAsync(yard), await service.FitterAsync(yard), await service.HorseAsync(yard));
        var path = $"/v1/saddles/{saddle}/adjustments";
        await service.PairAsync(horse, saddle);
        var vet = await service.Admin.MakeAsync("/v1/people", new { name = "Anna Keld", role = "vet", yardIds = new[] { yard } });
        var seen = (await service.Admin.PostAsync($"/v1/horses/{horse}/observations", new { observedOn = TackSetup.Today, kind = "heat", note = "behind the withers" })).Should(HttpStatusCode.Created);

        (await service.Admin.PostTextAsync(path, LeftOnly, ("F", fitter))).ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");
        Assert.Empty((await service.Admin.GetAsync(path)).Items);
        (await service.Admin.PostTextAsync(path, BothSides, ("F", fitter))).Should(HttpStatusCode.Created);
        (await service.Admin.PostTextAsync(path, LeftOnly.Replace("flocking", "tree", StringComparison.Ordinal), ("F", fitter))).Should(HttpStatusCode.Created);

        (await service.Admin.PostAsync(
            $"{seen.Headers.Location}/outcome", new { on = TackSetup.Today, by = vet, role = "vet", outcome = "cleared", note = "an insect bite" }, ("If-Match", seen.Etag))).Should(HttpStatusCode.OK);
        (await service.Admin.PostTextAsync(path, LeftOnly, ("F", fitter))).Should(HttpStatusCode.Created);
    }

    [Theory]
    [InlineData("2026-01-01", "2026-11-24", "heat")]
    [InlineData("2026-11-26", null, "heat")]
    [InlineData("2026-01-01", null, "rub")]
    public async Task Record_unequalSides_afterAnEndedPairingOrALesserSign_isKept(string from, string? to, string kind)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();
        var (saddle, horse) = (await service.SaddleAsync(yard), await service.HorseAsync(yard));
        await service.PairAsync(horse, saddle, from, to);
        await service.Admin.MakeAsync($"/v1/horses/{horse}/observations", new { observedOn = TackSetup.Today, kind, note = "small" });

        (await service.Admin.PostTextAsync($"/v1/saddles/{saddle}/adjustments", LeftOnly, ("F", await service.FitterAsync(yard)))).Should(HttpStatusCode.Created);
    }

    [Fact]
    public async Task Record_withAPersonsKey_isThatPersons()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();
        var (fitter, other) = (await service.FitterAsync(yard), await service.FitterAsync(yard));
        var path = $"/v1/saddles/{await service.SaddleAsync(yard)}/adjustments";
        var key = await service.Admin.PostAsync("/v1/keys", new { name = "phone", scopes = new[] { "fit" }, yardIds = new[] { yard }, personId = fitter });
        var phone = service.ClientFor(key["secret"]!.GetValue<string>());

        var made = (await phone.PostAsync(path, new { doneOn = TackSetup.Today, kind = "repair" })).Should(HttpStatusCode.Created);
        (await phone.PostAsync(path, new { doneOn = TackSetup.Today, doneBy = other, kind = "repair" })).ShouldPoint(422, "impossible", "/doneBy");

        Assert.Equal(fitter, made["doneBy"]!.GetValue<string>());
    }

    [Fact]
    public async Task Record_needsTheScopeFit_andAnotherYardsKeyFindsNothing()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Down the valley"));
        var path = $"/v1/saddles/{await service.SaddleAsync(yard)}/adjustments";
        var fitter = await service.FitterAsync(yard);

        (await (await service.ClientAsync("manage", yard)).PostTextAsync(path, BothSides, ("F", fitter))).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        var made = (await (await service.ClientAsync("fit", yard)).PostTextAsync(path, BothSides, ("F", fitter))).Should(HttpStatusCode.Created);
        var stranger = await service.ClientAsync("fit", other);

        (await stranger.GetAsync(made.Headers.Location!.ToString())).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.PostAsync($"{made.Headers.Location}/void", new { reason = "x" }, ("If-Match", made.Etag))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await service.Admin.PostAsync($"{made.Headers.Location}/void", new { reason = "x" })).ShouldBeProblem((HttpStatusCode)428, "if-match-missing");
    }

    [Fact]
    public async Task RecordAndVoid_askForEveryHorseAndLeaveOnlyLiveFacts()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await service.YardAsync();
        var (saddle, fitter, horse) = (await service.SaddleAsync(yard), await service.FitterAsync(yard), await service.HorseAsync(yard));
        await service.PairAsync(horse, saddle);
        var before = (await service.WaitingAsync()).Single().Generation;
        var path = $"/v1/saddles/{saddle}/adjustments";

        await service.Admin.PostTextAsync(path, LeftOnly, ("F", fitter));
        var wrong = await service.Admin.PostTextAsync(path, BothSides, ("F", fitter));
        await service.Admin.PostAsync($"{wrong.Headers.Location}/void", new { reason = "x" }, ("If-Match", wrong.Etag));

        Assert.Equal(before + 3, (await service.WaitingAsync()).Single().Generation);
        await using var session = await service.Database.ReadAsync(TestContext.Current.CancellationToken);
        var fact = SaddleFacts.ToFact((await SaddleStore.AdjustmentsAsync(session, [saddle])).Single());
        Assert.Equal((AdjustmentKind.Flocking, new DateOnly(2026, 11, 25)), (fact.Kind, fact.On));
        Assert.Equal(new ZoneChange(Side.Left, Zone.Rear, 3), fact.Zones.Single());
    }
}
