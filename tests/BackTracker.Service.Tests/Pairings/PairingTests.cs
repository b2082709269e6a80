using System.Net;
using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Pairings;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Pairings;

namespace BackTracker.Service.Tests.Pairings;

public sealed class PairingTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Pair_thenGetListAndChange_keepsEverything(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Down the valley"));
        var (horseId, saddleId) = (await service.HorseAsync(yard), await service.SaddleAsync(yard));

        var made = (await service.Admin.PostAsync("/v1/pairings", new
        {
            horseId,
            saddleId,
            from = "2026-03-01",
            treeFrontFromT8Mm = -20.5,
            padMm = 8,
            riderWeightKg = 72,
            tackWeightKg = 11,
            weeklyMinutes = 240,
            tolerances = new { watchWideMm = 6, outWideMm = 12 },
        })).Should(HttpStatusCode.Created);
        var path = made.Headers.Location!.ToString();
        var got = (await service.Admin.GetAsync(path)).Should(HttpStatusCode.OK);

        Assert.Equal(made.Text, got.Text);
        Assert.Equal(-20.5, got["treeFrontFromT8Mm"]!.GetValue<double>());
        Assert.Equal([6, 12, 7, 14], new[] { "watchWideMm", "outWideMm", "watchNarrowMm", "outNarrowMm" }.Select(m => got["tolerances"]![m]!.GetValue<double>()));
        foreach (var filter in new[] { $"yardId={yard}", $"horseId={horseId}", $"saddleId={saddleId}", $"horseId={horseId}&saddleId={saddleId}" })
            Assert.Single((await service.Admin.GetAsync($"/v1/pairings?{filter}")).Items);
        Assert.Empty((await service.Admin.GetAsync($"/v1/pairings?yardId={other}")).Items);

        var ended = (await service.Admin.PutAsync(path, new { horseId, saddleId, from = "2026-03-01", to = "2026-10-31" }, ("If-Match", got.Etag))).Should(HttpStatusCode.OK);
        Assert.Equal(ended.Text, (await service.Admin.GetAsync(path)).Text);
        Assert.Equal("2026-10-31", ended["to"]!.GetValue<string>());
        Assert.Equal(20, ended["tolerances"]!["outWideMm"]!.GetValue<double>());
    }

    [Theory]
    [InlineData("""{"horseId":"H","saddleId":"S"}""", 422, "impossible", "/from")]
    [InlineData("""{"saddleId":"S","from":"2026-03-01"}""", 422, "impossible", "/horseId")]
    [InlineData("""{"horseId":"H","from":"2026-03-01"}""", 422, "impossible", "/saddleId")]
    [InlineData("""{"horseId":"H","saddleId":"S","from":"2026-03-01","to":"2026-02-28"}""", 422, "impossible", "/to")]
    [InlineData("""{"horseId":"H","saddleId":"S","from":"2026-03-01","weeklyMinutes":-1}""", 422, "impossible", "/weeklyMinutes")]
    [InlineData("""{"horseId":"H","saddleId":"S","from":"2026-03-01","padMm":-1}""", 422, "impossible", "/padMm")]
    [InlineData("""{"horseId":"H","saddleId":"S","from":"2026-03-01","riderWeightKg":720}""", 422, "impossible", "/riderWeightKg")]
    [InlineData("""{"horseId":"H","saddleId":"S","from":"2026-03-01","tolerances":{"watchWideMm":20}}""", 422, "impossible", "/tolerances/watchWideMm")]
    [InlineData("""{"horseId":"H","saddleId":"S","from":"2026-03-01","tolerances":{"outNarrowMm":7}}""", 422, "impossible", "/tolerances/watchNarrowMm")]
    [InlineData("""{"horseId":"H","saddleId":"S","from":"2026-03-01","tolerances":{"outWideMm":0}}""", 422, "impossible", "/tolerances/outWideMm")]
    [InlineData("""{"horseId":"H","saddleId":"S","from":"2026-03-01","tolerances":{"outMm":9}}""", 400, "unknown-member", "/tolerances/outMm")]
    [InlineData("""{"horseId":"H","saddleId":"T","from":"2026-03-01"}""", 422, "impossible", "/saddleId")]
    [InlineData("""{"horseId":"nobody","saddleId":"S","from":"2026-03-01"}""", 404, "not-found", null)]
    [InlineData("""{"horseId":"H","saddleId":"nothing","from":"2026-03-01"}""", 404, "not-found", null)]
    public async Task Pair_badInput_saysWhereAndKeepsNothing(string body, int status, string kind, string? pointer)
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Down the valley"));

        var reply = await service.Admin.PostTextAsync(
            "/v1/pairings", body, ("H", await service.HorseAsync(yard)), ("S", await service.SaddleAsync(yard)), ("T", await service.SaddleAsync(other)));

        reply.ShouldPoint(status, kind, pointer);
        Assert.Empty((await service.Admin.GetAsync("/v1/pairings")).Items);
    }

    [Theory]
    [InlineData("2026-03-01", "2026-03-31", "2026-03-31", "2026-04-30", 409)]
    [InlineData("2026-03-01", null, "2027-01-01", null, 409)]
    [InlineData("2026-03-01", null, "2026-01-01", "2026-03-01", 409)]
    [InlineData("2026-03-10", "2026-03-20", "2026-03-01", null, 409)]
    [InlineData("2026-03-01", "2026-03-31", "2026-04-01", null, 201)]
    [InlineData("2026-03-01", null, "2026-01-01", "2026-02-28", 201)]
    public async Task Pair_theSameTwoAgain_onlyOnOtherDays(string from, string? to, string from2, string? to2, int status)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();
        var (horseId, saddleId) = (await service.HorseAsync(yard), await service.SaddleAsync(yard));
        await service.PairAsync(horseId, saddleId, from, to);

        var second = await service.Admin.PostAsync("/v1/pairings", new { horseId, saddleId, from = from2, to = to2 });

        second.Should((HttpStatusCode)status);
        Assert.Equal(status == 201 ? 2 : 1, (await service.Admin.GetAsync("/v1/pairings")).Items.Count);
    }

    [Fact]
    public async Task Pair_oneSaddleOnTwoHorsesAndTwoSaddlesOnOne_isNormal()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();
        var (horse, saddle) = (await service.HorseAsync(yard), await service.SaddleAsync(yard));

        await service.PairAsync(horse, saddle);
        await service.PairAsync(await service.HorseAsync(yard, "Thistle"), saddle);
        await service.PairAsync(horse, await service.SaddleAsync(yard));

        Assert.Equal(2, (await service.Admin.GetAsync($"/v1/pairings?saddleId={saddle}")).Items.Count);
        Assert.Equal(2, (await service.Admin.GetAsync($"/v1/pairings?horseId={horse}")).Items.Count);
    }

    [Fact]
    public async Task Change_ofHorseSaddleOrIntoAnotherPairingsDays_changesNothing()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();
        var (horseId, saddleId) = (await service.HorseAsync(yard), await service.SaddleAsync(yard));
        await service.PairAsync(horseId, saddleId, "2026-03-01", "2026-03-31");
        var made = await service.Admin.PostAsync("/v1/pairings", new { horseId, saddleId, from = "2026-04-01" });
        var path = made.Headers.Location!.ToString();
        Task<Reply> Put(string horse, string saddle, string from, string etag) =>
            service.Admin.PutAsync(path, new { horseId = horse, saddleId = saddle, from }, ("If-Match", etag));

        (await Put(await service.HorseAsync(yard, "Thistle"), saddleId, "2026-04-01", made.Etag)).ShouldPoint(422, "impossible", "/horseId");
        (await Put(horseId, await service.SaddleAsync(yard), "2026-04-01", made.Etag)).ShouldPoint(422, "impossible", "/saddleId");
        (await Put(horseId, saddleId, "2026-03-31", made.Etag)).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        (await Put(horseId, saddleId, "2026-04-02", "\"9\"")).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");
        (await service.Admin.PutAsync(path, new { horseId, saddleId, from = "2026-04-02" })).ShouldBeProblem((HttpStatusCode)428, "if-match-missing");

        Assert.Equal(made.Text, (await service.Admin.GetAsync(path)).Text);
    }

    [Fact]
    public async Task Pair_repeatedWithTheSameKey_makesOnePairing()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();
        var body = new { horseId = await service.HorseAsync(yard), saddleId = await service.SaddleAsync(yard), from = "2026-03-01" };

        var first = (await service.Admin.PostAsync("/v1/pairings", body, ("Idempotency-Key", "one"))).Should(HttpStatusCode.Created);
        var again = await service.Admin.PostAsync("/v1/pairings", body, ("Idempotency-Key", "one"));

        Assert.Equal(first.Text, again.Text);
        Assert.Single((await service.Admin.GetAsync("/v1/pairings")).Items);
    }

    [Fact]
    public async Task EveryRoute_withAnotherYardsKeyOrALesserScope_isRefused()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Down the valley"));
        var body = new { horseId = await service.HorseAsync(yard), saddleId = await service.SaddleAsync(yard), from = "2026-03-01" };
        var made = await service.Admin.PostAsync("/v1/pairings", body);
        var stranger = await service.ClientAsync("manage", other);

        (await stranger.GetAsync(made.Headers.Location!.ToString())).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.PutAsync(made.Headers.Location!.ToString(), body, ("If-Match", made.Etag))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.PostAsync("/v1/pairings", body)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        foreach (var filter in new[] { $"yardId={yard}", $"horseId={body.horseId}", $"saddleId={body.saddleId}" })
            (await stranger.GetAsync($"/v1/pairings?{filter}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        Assert.Empty((await stranger.GetAsync("/v1/pairings")).Items);
        foreach (var scope in new[] { "read", "record", "fit" })
            (await (await service.ClientAsync(scope, yard)).PostAsync("/v1/pairings", body)).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
    }

    // What a saddle does on one horse tells of its hours and its shape on every other.
    [Fact]
    public async Task Anything_doneToASaddle_asksForEveryHorseItIsUsedOn()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await service.YardAsync();
        var (first, second, saddleId) = (await service.HorseAsync(yard), await service.HorseAsync(yard, "Thistle"), await service.SaddleAsync(yard));
        var fitter = await service.FitterAsync(yard);
        await service.PairAsync(first, saddleId);
        var pairing = $"/v1/pairings/{await service.PairAsync(second, saddleId)}";

        foreach (var change in new Func<Task<Reply>>[]
        {
            () => service.Admin.PostAsync($"/v1/saddles/{saddleId}/tree-shapes", new { from = "2026-03-01", stations = new[] { new { station = "T13", width150Mm = 320 } } }),
            () => service.Admin.PostAsync($"/v1/saddles/{saddleId}/adjustments", new { doneOn = "2026-03-01", doneBy = fitter, kind = "repair" }),
            async () => await service.Admin.PutAsync(pairing, new { horseId = second, saddleId, from = "2026-01-01", to = "2026-10-01" }, ("If-Match", (await service.Admin.GetAsync(pairing)).Etag)),
            async () => await service.Admin.PostAsync("/v1/pairings", new { horseId = await service.HorseAsync(yard, "Sorrel"), saddleId, from = "2026-03-01" }),
        })
        {
            var before = (await service.WaitingAsync()).ToDictionary(horse => horse.HorseId, horse => horse.Generation);
            Assert.True((await change()).Status is HttpStatusCode.Created or HttpStatusCode.OK);
            var after = (await service.WaitingAsync()).ToDictionary(horse => horse.HorseId, horse => horse.Generation);
            Assert.All(new[] { first, second }, horse => Assert.Equal(before[horse] + 1, after[horse]));
        }
    }

    [Fact]
    public async Task PairAndChange_askForTheHorse_andFactsCarryItsLimits()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await service.YardAsync();
        var (horseId, saddleId) = (await service.HorseAsync(yard), await service.SaddleAsync(yard));
        var before = (await service.WaitingAsync()).Single().Generation;

        var made = await service.Admin.PostAsync("/v1/pairings", new { horseId, saddleId, from = "2026-03-01", weeklyMinutes = 0, tolerances = new { outNarrowMm = 9 } });
        await service.Admin.PutAsync(
            made.Headers.Location!.ToString(), new { horseId, saddleId, from = "2026-03-01", to = "2026-12-01", weeklyMinutes = 0, tolerances = new { outNarrowMm = 10 } }, ("If-Match", made.Etag));

        Assert.Equal(before + 2, (await service.WaitingAsync()).Single().Generation);
        await using var session = await service.Database.ReadAsync(TestContext.Current.CancellationToken);
        var fact = PairingFacts.ToFact((await PairingStore.OfHorseAsync(session, horseId)).Single(), [], [], new Dictionary<string, Severity>());
        Assert.Equal(new Limits(-10, -7, 10, 20), fact.Tolerances.Of(Measure.Width150));
        Assert.Equal((new DateOnly(2026, 3, 1), new DateOnly(2026, 12, 1), 0), (fact.From, fact.To!.Value, fact.WeeklyMinutes!.Value));
    }
}
