using System.Net;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Tests.Horses;

public sealed class PhaseAndEventTests
{
    private static readonly object Building = new { phase = "building", from = "2026-11-01" };
    private static readonly object LayOff = new { on = "2026-11-10", kind = "lay-off", note = "lame in front" };

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Phases_pastAndPlanned_showInTheHorseWhenTheyBegin(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var horse = "/v1/horses/" + await service.HorseAsync(await service.YardAsync());
        var bare = await service.Admin.GetAsync(horse);

        (await service.Admin.PostAsync($"{horse}/phases", new { phase = "letting-down", from = "2026-11-27" })).Should(HttpStatusCode.Created);
        (await service.Admin.PostAsync($"{horse}/phases", Building)).Should(HttpStatusCode.Created);
        var today = (await service.Admin.GetAsync(horse, ("If-None-Match", bare.Etag))).Should(HttpStatusCode.OK);
        service.Clock.Advance(TimeSpan.FromDays(2));
        var later = (await service.Admin.GetAsync(horse, ("If-None-Match", today.Etag))).Should(HttpStatusCode.OK);

        Assert.Equal("building", today["phase"]!.GetValue<string>());
        Assert.Equal("2026-11-01", today["phaseFrom"]!.GetValue<string>());
        Assert.Equal("letting-down", later["phase"]!.GetValue<string>());
        Assert.Equal(["letting-down"], (await service.Admin.GetAsync("/v1/horses")).Texts("phase"));
        Assert.Equal(["letting-down", "building"], (await service.Admin.GetAsync($"{horse}/phases")).Texts("phase"));
    }

    [Theory]
    [InlineData("phases", "phase", StoreKind.Sqlite)]
    [InlineData("phases", "phase", StoreKind.Postgres)]
    [InlineData("events", "kind", StoreKind.Sqlite)]
    [InlineData("events", "kind", StoreKind.Postgres)]
    public async Task Void_once_keepsTheRecordWithItsReason(string kind, string word, StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var yard = await service.YardAsync();
        var horse = "/v1/horses/" + await service.HorseAsync(yard);
        var made = (await service.Admin.PostAsync($"{horse}/{kind}", kind == "phases" ? Building : LayOff)).Should(HttpStatusCode.Created);
        var path = made.Headers.Location!.ToString();
        var before = await service.Admin.GetAsync(horse);
        var reason = new { reason = "wrong horse" };

        (await service.Admin.PostAsync($"{path}/void", new { }, ("If-Match", made.Etag))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
        (await service.Admin.PostAsync($"{path}/void", reason)).ShouldBeProblem((HttpStatusCode)428, "if-match-missing");
        (await service.Admin.PostAsync($"{path}/void", reason, ("If-Match", "\"9\""))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");
        Assert.Equal(made.Text, (await service.Admin.GetAsync(path)).Text);
        var voided = (await service.Admin.PostAsync($"{path}/void", reason, ("If-Match", made.Etag))).Should(HttpStatusCode.OK);
        (await service.Admin.PostAsync($"{path}/void", reason, ("If-Match", voided.Etag))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");

        var shown = Assert.Single((await service.Admin.GetAsync($"{horse}/{kind}")).Items)!;
        Assert.Equal("wrong horse", shown["voidReason"]!.GetValue<string>());
        Assert.Equal("2026-11-25T09:00:00.000Z", shown["voidedAt"]!.GetValue<string>());
        Assert.Equal(made[word]!.GetValue<string>(), shown[word]!.GetValue<string>());
        Assert.Equal(voided.Etag, (await service.Admin.GetAsync(path)).Etag);
        Assert.Single((await service.Admin.GetAsync($"/v1/{kind}?yardId={yard}")).Items);
        var after = await service.Admin.GetAsync(horse);
        Assert.Null(after["phase"]);
        Assert.Equal(kind == "phases", before.Etag != after.Etag);
    }

    [Theory]
    [InlineData("phases", """{"phase":"galloping","from":"2026-11-01"}""", 400, "malformed", "/phase")]
    [InlineData("phases", """{"from":"2026-11-01"}""", 422, "impossible", "/phase")]
    [InlineData("phases", """{"phase":"rest"}""", 422, "impossible", "/from")]
    [InlineData("phases", """{"phase":"rest","from":"2028-11-26"}""", 422, "impossible", "/from")]
    [InlineData("phases", """{"phase":"rest","from":"2018-12-31"}""", 422, "impossible", "/from")]
    [InlineData("events", """{"on":"2026-11-01","kind":"party"}""", 400, "malformed", "/kind")]
    [InlineData("events", """{"on":"2026-11-01"}""", 422, "impossible", "/kind")]
    [InlineData("events", """{"kind":"other"}""", 422, "impossible", "/on")]
    [InlineData("events", """{"on":"2026-11-26","kind":"start-of-work"}""", 422, "impossible", "/planned")]
    [InlineData("events", """{"on":"2026-11-26","kind":"start-of-work","planned":false}""", 422, "impossible", "/planned")]
    [InlineData("events", """{"on":"2028-11-26","kind":"start-of-work","planned":true}""", 422, "impossible", "/on")]
    [InlineData("events", """{"on":"2018-12-31","kind":"illness"}""", 422, "impossible", "/on")]
    public async Task Record_badInput_saysWhereAndKeepsNothing(string resource, string body, int status, string kind, string pointer)
    {
        await using var service = await RunningService.StartAsync();
        var yardId = await service.YardAsync();
        var path = $"/v1/horses/{await service.Admin.MakeAsync("/v1/horses", new { yardId, name = "Sorrel", bornOn = "2019-01-01" })}/{resource}";

        var reply = (await service.Admin.SendAsync(HttpMethod.Post, path, body)).ShouldBeProblem((HttpStatusCode)status, kind);

        Assert.NotNull(reply["errors"]![pointer]);
        Assert.Empty((await service.Admin.GetAsync(path)).Items);
    }

    [Fact]
    public async Task Record_plannedAhead_isKept()
    {
        await using var service = await RunningService.StartAsync();
        var horse = "/v1/horses/" + await service.HorseAsync(await service.YardAsync());

        var phase = (await service.Admin.PostAsync($"{horse}/phases", new { phase = "rest", from = "2028-11-25" })).Should(HttpStatusCode.Created);
        var planned = (await service.Admin.PostAsync($"{horse}/events", new { on = "2026-12-01", kind = "start-of-work", planned = true })).Should(HttpStatusCode.Created);

        Assert.Equal(phase.Text, (await service.Admin.GetAsync(phase.Headers.Location!.ToString())).Text);
        Assert.Equal(planned.Text, (await service.Admin.GetAsync(planned.Headers.Location!.ToString())).Text);
        Assert.True(planned["planned"]!.GetValue<bool>());
        Assert.Null((await service.Admin.GetAsync(horse))["phase"]);
    }

    [Fact]
    public async Task Record_secondPhaseOfADay_isAConflictUntilTheFirstIsVoided()
    {
        await using var service = await RunningService.StartAsync();
        var horse = "/v1/horses/" + await service.HorseAsync(await service.YardAsync());
        var first = await service.Admin.PostAsync($"{horse}/phases", Building);
        var second = new { phase = "rest", from = "2026-11-01" };

        (await service.Admin.PostAsync($"{horse}/phases", second)).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        (await service.Admin.PostAsync($"{first.Headers.Location}/void", new { reason = "rested after all" }, ("If-Match", first.Etag))).Should(HttpStatusCode.OK);
        (await service.Admin.PostAsync($"{horse}/phases", second)).Should(HttpStatusCode.Created);

        Assert.Equal("rest", (await service.Admin.GetAsync(horse))["phase"]!.GetValue<string>());
    }

    [Theory, InlineData("phases"), InlineData("events")]
    public async Task Anything_byKeyOfAnotherYardOrLesserScope_isRefused(string kind)
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Elsewhere"));
        var list = $"/v1/horses/{await service.HorseAsync(yard)}/{kind}";
        var body = kind == "phases" ? Building : LayOff;
        var path = (await service.Admin.PostAsync(list, body)).Headers.Location!.ToString();
        var stranger = await service.ClientAsync("manage", other);
        var fitter = await service.ClientAsync("fit", yard);

        (await stranger.PostAsync(list, body)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.GetAsync(list)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.GetAsync(path)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.PostAsync($"{path}/void", new { reason = "no" }, ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.GetAsync($"/v1/{kind}?yardId={yard}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        Assert.Empty((await stranger.GetAsync($"/v1/{kind}")).Items);
        (await fitter.PostAsync(list, body)).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await fitter.PostAsync($"{path}/void", new { reason = "no" }, ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        Assert.Single((await fitter.GetAsync(list)).Items);
    }

    [Theory, InlineData("phases"), InlineData("events")]
    public async Task Record_repeatedWithTheSameKey_keepsOneAndAsksForAnAssessment(string kind)
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var horseId = await service.HorseAsync(await service.YardAsync());
        var list = $"/v1/horses/{horseId}/{kind}";
        var body = kind == "phases" ? Building : LayOff;
        var generation = await GenerationAsync(service, horseId);

        var first = await service.Admin.PostAsync(list, body, ("Idempotency-Key", "one"));
        var again = await service.Admin.PostAsync(list, body, ("Idempotency-Key", "one"));

        Assert.Equal(first.Text, again.Should(HttpStatusCode.Created).Text);
        Assert.Single((await service.Admin.GetAsync(list)).Items);
        Assert.Equal(generation + 1, await GenerationAsync(service, horseId));
    }

    private static async Task<long> GenerationAsync(RunningService service, string horseId)
    {
        await using var session = await service.Database.ReadAsync(TestContext.Current.CancellationToken);
        return (await WorkQueueStore.NextAsync(session, service.Clock.GetUtcNow().AddDays(1), 9)).Single(h => h.HorseId == horseId).Generation;
    }
}
