using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Tests.Measurements;

public sealed class MeasurementTests
{
    private static readonly string Everything =
        $$"""
        {"stance":{"square":true,"head":"neutral"},
         "traces":[{"station":"T14","repeat":1,"points":{{MeasuringYard.Trace}},"midline":[0,0],"level":[[-100,0],[100,1]]}],
         "widths":[{"station":"T13","depthMm":30,"widthMm":100},{"station":"T13","depthMm":150,"widthMm":312,"leftHalfMm":155,"rightHalfMm":157,"repeat":1},
                   {"station":"T13","depthMm":150,"widthMm":314,"leftHalfMm":155,"rightHalfMm":159,"repeat":2}],
         "topline":[[-100,-30],[0,0],[150,22],[300,25],[450,10]],"stationPositionsMm":{"T18":480,"T8":0,"T13":240},
         "supportLengthMm":430,"withersHeightMm":1550,"croupHeightMm":1530,"girthMm":1660,"bodyLengthMm":1580,
         "conditionScore1to9":5.5,"neckScore0to5":2,"note":"Said \"station\":\"T9\"."}
        """;

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Record_thenGet_answersWhatWasMeasuredAndWhatFollows(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        var session = yard.Session("2026-11-24T23:30:00-07:00", [], Everything);

        var made = (await yard.Recorder.PostAsync(yard.Measurements, session)).Should(HttpStatusCode.Created);
        var got = (await yard.Reader.GetAsync(made.Headers.Location!.ToString())).Should(HttpStatusCode.OK);

        foreach (var (name, value) in JsonNode.Parse(Everything)!.AsObject().Where(m => m.Key is not ("widths" or "traces" or "stationPositionsMm")))
            Assert.True(JsonNode.DeepEquals(value, got[name]), $"{name}: {got[name]}");
        Assert.Equal(3, got["widths"]!.AsArray().Count);
        Assert.Equal(61, got["traces"]![0]!["points"]!.AsArray().Count);
        Assert.Equal("2026-11-24", got["measuredOn"]!.GetValue<string>());
        Assert.Equal("2026-11-25T06:30:00.000Z", got["measuredAt"]!.GetValue<string>());
        Assert.Equal("2026-11-25T09:00:00.000Z", got["recordedAt"]!.GetValue<string>());
        Assert.True(JsonNode.DeepEquals(made["derived"], got["derived"]));
        Assert.Equal(HttpStatusCode.NotModified, (await yard.Reader.GetAsync(made.Headers.Location!.ToString(), ("If-None-Match", got.Etag))).Status);
    }

    [Fact]
    public async Task Record_derives_meansShapeAsymmetryAndWeight()
    {
        await using var yard = await MeasuringYard.StartAsync();

        var made = await yard.Recorder.PostAsync(yard.Measurements, yard.Session("2026-11-24T10:00:00Z", [], Everything));

        var derived = made["derived"]!.AsArray().ToDictionary(d => d!["metric"]!.GetValue<string>());
        Assert.Equal(313, derived["T13.width150"]!["value"]!.GetValue<double>());
        Assert.Equal(155, derived["T13.halfLeft150"]!["value"]!.GetValue<double>());
        Assert.Equal(158, derived["T13.halfRight150"]!["value"]!.GetValue<double>());
        Assert.Equal(100.0 / 313, derived["T13.shapeRatio"]!["value"]!.GetValue<double>(), .0001);
        // The mean of the repeats, not of their halves.
        Assert.Equal(((100 * 2 / 156.0) + (100 * 4 / 157.0)) / 2, derived["T13.asymmetry150"]!["value"]!.GetValue<double>(), .0001);
        Assert.Equal("%", derived["T13.asymmetry150"]!["unit"]!.GetValue<string>());
        // Jensen, Rockhold and Tauson 2019, Acta Vet Scand 61, table 2: Icelandic horses of 166 cm girth and 158 cm length; the formula gives 365.9 kg.
        Assert.Equal(365.9, derived["weight"]!["value"]!.GetValue<double>(), .05);
        Assert.Contains("Carroll and Huntington", derived["weight"]!["note"]!.GetValue<string>(), StringComparison.Ordinal);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Put_sameBodyAgain_givesTheSameAnswerAndRecordsOnce(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        const string path = "/v1/measurements/3f2b8f4e-6c0d-4f9a-8a5e-0d6c1b2a3f4e";
        var session = yard.Session("2026-11-24T10:00:00+01:00", [312, 330]);
        session["horseId"] = yard.HorseId;

        var first = (await yard.Recorder.PutAsync(path, session)).Should(HttpStatusCode.Created);
        await yard.RecordEveryFourWeeksAsync(new DateOnly(2026, 9, 1), 320, 322);
        session["measuredAt"] = "2026-11-24T09:00:00Z";
        var again = (await yard.Recorder.PutAsync(path, session)).Should(HttpStatusCode.OK);
        session["widths"]![0]!["widthMm"] = 313;
        (await yard.Recorder.PutAsync(path, session)).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");

        Assert.Equal(first.Text, again.Text);
        Assert.Equal(path, first.Headers.Location!.ToString());
        Assert.Equal(3, await yard.CountAsync());
    }

    [Fact]
    public async Task Put_idUsedByAnotherYard_isAConflictThatTellsNothing()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var id = await yard.Recorder.MakeAsync(yard.Measurements, yard.Session("2026-11-24T10:00:00Z", [312], """{"note":"secret"}"""));
        var (strangersHorse, strangersFitter) = await StrangersAsync(yard);
        var session = yard.Session("2026-11-24T10:00:00Z", [312]);
        (session["horseId"], session["measuredBy"]) = (strangersHorse, strangersFitter);

        var reply = (await yard.Stranger.PutAsync($"/v1/measurements/{id}", session)).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");

        Assert.DoesNotContain("secret", reply.Text, StringComparison.Ordinal);
        Assert.DoesNotContain(yard.HorseId, reply.Text, StringComparison.Ordinal);
        (await yard.Recorder.PutAsync("/v1/measurements/mine", session)).ShouldBeProblem(HttpStatusCode.BadRequest, "malformed");
    }

    private static async Task<(string Horse, string Fitter)> StrangersAsync(MeasuringYard yard)
    {
        var valley = (await yard.Stranger.GetAsync("/v1/yards")).Items.Single()!["id"]!.GetValue<string>();
        return (await yard.Admin.MakeAsync("/v1/horses", new { yardId = valley, name = "Tansy" }),
            await yard.Admin.MakeAsync("/v1/people", new { name = "B", role = "fitter", yardIds = new[] { valley } }));
    }

    [Fact]
    public async Task Record_repeatedWithTheSameKey_recordsOnce()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var session = yard.Session("2026-11-24T10:00:00Z", [312]);

        var first = await yard.Recorder.PostAsync(yard.Measurements, session, ("Idempotency-Key", "one"));
        var again = await yard.Recorder.PostAsync(yard.Measurements, session, ("Idempotency-Key", "one"));

        Assert.Equal(first.Text, again.Text);
        Assert.Equal(1, await yard.CountAsync());
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Correct_replacesTheOld_andOnlyTheNewCounts(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        var old = await yard.Recorder.MakeAsync(yard.Measurements, yard.Session("2026-11-24T10:00:00Z", [312]));
        var correction = yard.Session("2026-11-24T10:00:00Z", [321], $$"""{"corrects":"{{old}}"}""");

        var better = await yard.Recorder.MakeAsync(yard.Measurements, correction);
        (await yard.Recorder.PostAsync(yard.Measurements, correction)).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        correction["corrects"] = better;
        var best = await yard.Recorder.MakeAsync(yard.Measurements, correction);

        Assert.Equal(better, (await yard.Reader.GetAsync($"/v1/measurements/{old}"))["replacedBy"]!.GetValue<string>());
        Assert.Equal(old, (await yard.Reader.GetAsync($"/v1/measurements/{better}"))["corrects"]!.GetValue<string>());
        await using var session = await yard.Service.Database.ReadAsync(TestContext.Current.CancellationToken);
        var live = Assert.Single(await MeasurementStore.LiveOfHorseAsync(session, yard.HorseId));
        Assert.Equal(best, live.Id);
        Assert.Equal([321.0], MeasurementFacts.ToSession(live).Readings.Select(r => r.Value));
    }

    [Fact]
    public async Task Correct_whatCannotBeCorrected_isRefusedAndChangesNothing()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var other = await yard.Recorder.MakeAsync($"/v1/horses/{yard.OtherHorseId}/measurements", yard.Session("2026-11-24T10:00:00Z", [312]));
        var voided = await yard.Recorder.MakeAsync(yard.Measurements, yard.Session("2026-11-24T10:00:00Z", [312]));
        await yard.Recorder.PostAsync($"/v1/measurements/{voided}/void", new { reason = "wrong horse" });

        (await CorrectAsync(other)).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
        (await CorrectAsync(voided)).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        (await CorrectAsync("3f2b8f4e-6c0d-4f9a-8a5e-0d6c1b2a3f4e")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");

        Assert.Equal(1, await yard.CountAsync());
        Task<Reply> CorrectAsync(string id) => yard.Recorder.PostAsync(yard.Measurements, yard.Session("2026-11-24T10:00:00Z", [321], $$"""{"corrects":"{{id}}"}"""));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Void_withReason_keepsTheRecordAndAsksForAnAssessment(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        var id = await yard.Recorder.MakeAsync(yard.Measurements, yard.Session("2026-11-24T10:00:00Z", [312]));
        var path = $"/v1/measurements/{id}/void";

        (await yard.Recorder.PostAsync(path, new { })).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
        (await yard.Recorder.PostAsync(path, new { reason = "x" }, ("If-Match", "\"9\""))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");
        var voided = (await yard.Recorder.PostAsync(path, new { reason = "wrong horse" }, ("If-Match", "\"1\""))).Should(HttpStatusCode.OK);
        (await yard.Recorder.PostAsync(path, new { reason = "again" })).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");

        Assert.Equal("wrong horse", voided["voidReason"]!.GetValue<string>());
        Assert.Equal("2026-11-25T09:00:00.000Z", voided["voidedAt"]!.GetValue<string>());
        await using var session = await yard.Service.Database.ReadAsync(TestContext.Current.CancellationToken);
        Assert.Empty(await MeasurementStore.LiveOfHorseAsync(session, yard.HorseId));
        var queued = Assert.Single(await WorkQueueStore.NextAsync(session, yard.Service.Clock.GetUtcNow(), 10), q => q.HorseId == yard.HorseId);
        Assert.True(queued.Generation >= 2);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task List_byDayAndStation_findsWhatFits(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        var ids = await yard.RecordEveryFourWeeksAsync(new DateOnly(2026, 9, 1), 320, 321, 322);
        var elsewhere = await yard.Recorder.MakeAsync(yard.Measurements, yard.Session("2026-11-20T10:00:00Z", [], """{"widths":[{"station":"T8","depthMm":30,"widthMm":96}],"note":"\"station\":\"T13\""}"""));

        Assert.Equal(ids, await IdsAsync("?station=T13"));
        Assert.Equal([elsewhere], await IdsAsync("?station=T8"));
        Assert.Equal([ids[1]], await IdsAsync("?from=2026-09-29&to=2026-09-29"));
        Assert.Equal([ids[2], elsewhere], await IdsAsync("?from=2026-09-30&limit=2"));
        Assert.Equal(4, (await yard.Reader.GetAsync($"/v1/measurements?yardId={yard.YardId}")).Items.Count);
        Assert.Empty((await yard.Stranger.GetAsync("/v1/measurements")).Items);
        (await yard.Reader.GetAsync(yard.Measurements + "?station=T4")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        (await yard.Reader.GetAsync(yard.Measurements + "?from=yesterday")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        async Task<IEnumerable<string>> IdsAsync(string query) => (await yard.Reader.GetAsync(yard.Measurements + query)).Items.Select(m => m!["id"]!.GetValue<string>());
    }

    [Fact]
    public async Task AnyRoute_withAnotherYardsKeyOrALesserScope_isRefused()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var session = yard.Session("2026-11-24T10:00:00Z", [312]);
        var id = await yard.Recorder.MakeAsync(yard.Measurements, session);

        (await yard.Stranger.PostAsync(yard.Measurements, session)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Stranger.GetAsync(yard.Measurements)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Stranger.GetAsync($"/v1/measurements/{id}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Stranger.GetAsync($"/v1/measurements?yardId={yard.YardId}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Stranger.PostAsync($"/v1/measurements/{id}/void", new { reason = "x" })).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Reader.PostAsync(yard.Measurements, session)).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await yard.Reader.PostAsync($"/v1/measurements/{id}/void", new { reason = "x" })).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        session["horseId"] = yard.HorseId;
        (await yard.Reader.PutAsync($"/v1/measurements/{id}", session)).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");

        Assert.Null((await yard.Reader.GetAsync($"/v1/measurements/{id}"))["voidedAt"]);
    }

    [Fact]
    public async Task Record_withAPersonsKey_isThatPersons()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var own = await yard.KeyAsync("record", yard.FitterId);
        var session = yard.Session("2026-11-24T10:00:00Z", [312]);
        session["measuredBy"] = yard.VetId;
        (await own.PostAsync(yard.Measurements, session)).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
        session.Remove("measuredBy");

        var id = await own.MakeAsync(yard.Measurements, session);

        Assert.Equal(yard.FitterId, (await own.GetAsync($"/v1/measurements/{id}"))["measuredBy"]!.GetValue<string>());
        (await yard.Recorder.PostAsync(yard.Measurements, session)).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
        session["measuredBy"] = "3f2b8f4e-6c0d-4f9a-8a5e-0d6c1b2a3f4e";
        (await yard.Recorder.PostAsync(yard.Measurements, session)).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
    }
}
