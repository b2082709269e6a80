using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Tests.Observations;

public sealed class ObservationTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Record_thenGet_answersWhatWasSeen(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        var seen = new { observedOn = "2026-11-24", kind = "dry-patch", side = "left", station = "T10", severity = "mild", note = "size of a hand" };

        var made = (await yard.Recorder.PostAsync(yard.Observations, seen)).Should(HttpStatusCode.Created);
        var got = (await yard.Reader.GetAsync(made.Headers.Location!.ToString())).Should(HttpStatusCode.OK);

        Assert.Equal(made.Text, got.Text);
        Assert.Equal("left", got["side"]!.GetValue<string>());
        Assert.Equal("T10", got["station"]!.GetValue<string>());
        Assert.False(got["vetFirst"]!.GetValue<bool>());
        Assert.Empty(got["cautions"]!.AsArray());
        Assert.Equal(HttpStatusCode.NotModified, (await yard.Reader.GetAsync(made.Headers.Location!.ToString(), ("If-None-Match", got.Etag))).Status);
        await using var session = await yard.Service.Database.ReadAsync(TestContext.Current.CancellationToken);
        Assert.Contains(await WorkQueueStore.NextAsync(session, yard.Service.Clock.GetUtcNow(), 10), q => q.HorseId == yard.HorseId);
    }

    [Theory]
    [InlineData("""{"kind":"open-sore"}""", true)]
    [InlineData("""{"kind":"saddle-slips-one-side"}""", true)]
    [InlineData("""{"kind":"soreness"}""", true)]
    [InlineData("""{"kind":"soreness","severity":"mild"}""", false)]
    [InlineData("""{"kind":"ridden-behaviour-score","score":8}""", true)]
    [InlineData("""{"kind":"ridden-behaviour-score","score":7}""", false)]
    [InlineData("""{"kind":"rub"}""", false)]
    public async Task Record_aVetFirstSign_saysSoWithCautions(string sign, bool vetFirst)
    {
        await using var yard = await MeasuringYard.StartAsync();

        var made = await RecordAsync(yard, sign);

        Assert.Equal(vetFirst, made["vetFirst"]!.GetValue<bool>());
        Assert.Equal(vetFirst, made["cautions"]!.AsArray().Count > 0);
    }

    [Theory]
    [InlineData("""{"kind":"sneezing"}""", 400, "malformed", "/kind")]
    [InlineData("""{"kind":"rub","severity":"unstated"}""", 400, "malformed", "/severity")]
    [InlineData("""{"kind":"rub","colour":"red"}""", 400, "unknown-member", "/colour")]
    [InlineData("""{"kind":null}""", 422, "impossible", "/kind")]
    [InlineData("""{"kind":"other"}""", 422, "impossible", "/note")]
    [InlineData("""{"kind":"rub","station":"T19"}""", 422, "impossible", "/station")]
    [InlineData("""{"kind":"rub","score":3}""", 422, "impossible", "/score")]
    [InlineData("""{"kind":"ridden-behaviour-score"}""", 422, "impossible", "/score")]
    [InlineData("""{"kind":"ridden-behaviour-score","score":25}""", 422, "impossible", "/score")]
    [InlineData("""{"kind":"rub","observedOn":"2026-11-26"}""", 422, "impossible", "/observedOn")]
    [InlineData("""{"kind":"rub","observedOn":"2015-04-01"}""", 422, "impossible", "/observedOn")]
    public async Task Record_badInput_saysWhereAndHowToMend(string seen, int status, string kind, string pointer)
    {
        await using var yard = await MeasuringYard.StartAsync();

        var reply = (await yard.Recorder.PostAsync(yard.Observations, Dated(seen))).ShouldBeProblem((HttpStatusCode)status, kind);

        Assert.NotNull(reply["errors"]![pointer]);
        Assert.Empty((await yard.Reader.GetAsync(yard.Observations)).Items);
    }

    [Fact]
    public async Task Record_repeatedWithTheSameKey_recordsOnce()
    {
        await using var yard = await MeasuringYard.StartAsync();

        var first = await yard.Recorder.PostAsync(yard.Observations, Dated("""{"kind":"rub"}"""), ("Idempotency-Key", "one"));
        var again = await yard.Recorder.PostAsync(yard.Observations, Dated("""{"kind":"rub"}"""), ("Idempotency-Key", "one"));

        Assert.Equal(first.Text, again.Text);
        Assert.Single((await yard.Reader.GetAsync(yard.Observations)).Items);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task List_open_showsWhatStillAsksForSomething(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        var open = (await RecordAsync(yard, """{"kind":"rub"}"""))["id"]!.GetValue<string>();
        var closed = (await RecordAsync(yard, """{"kind":"dry-patch"}"""))["id"]!.GetValue<string>();
        var voided = (await RecordAsync(yard, """{"kind":"white-hairs"}"""))["id"]!.GetValue<string>();
        (await yard.Recorder.PostAsync($"/v1/observations/{closed}/outcome", Outcome(yard.FitterId, "fitter"))).Should(HttpStatusCode.OK);
        (await yard.Recorder.PostAsync($"/v1/observations/{voided}/void", new { reason = "dirt" })).Should(HttpStatusCode.OK);

        Assert.Equal([open], await IdsAsync("?open=true"));
        Assert.Equal([closed, voided], await IdsAsync("?open=false"));
        Assert.Equal([open, closed, voided], await IdsAsync(""));
        Assert.Single((await yard.Reader.GetAsync($"/v1/observations?yardId={yard.YardId}&open=true")).Items);
        Assert.Empty((await yard.Stranger.GetAsync("/v1/observations")).Items);
        (await yard.Reader.GetAsync(yard.Observations + "?open=perhaps")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        async Task<IEnumerable<string>> IdsAsync(string query) => (await yard.Reader.GetAsync(yard.Observations + query)).Items.Select(o => o!["id"]!.GetValue<string>());
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Outcome_ofAVetFirstSign_isAVetsAlone(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        var made = await RecordAsync(yard, """{"kind":"heat"}""");
        var path = made.Headers.Location + "/outcome";

        var refused = (await yard.Recorder.PostAsync(path, Outcome(yard.FitterId, "fitter"))).ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");
        (await yard.Recorder.PostAsync(path, Outcome(yard.VetId, "vet"), ("If-Match", "\"4\""))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");
        var closed = (await yard.Recorder.PostAsync(path, Outcome(yard.VetId, "vet"), ("If-Match", made.Etag))).Should(HttpStatusCode.OK);
        (await yard.Recorder.PostAsync(path, Outcome(yard.VetId, "vet"))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");

        Assert.Contains("heat", refused["detail"]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.False(closed["open"]!.GetValue<bool>());
        Assert.Empty(closed["cautions"]!.AsArray());
        Assert.Equal("treated", closed["outcome"]!["outcome"]!.GetValue<string>());
        Assert.Equal(yard.VetId, closed["outcome"]!["by"]!.GetValue<string>());
    }

    [Fact]
    public async Task Outcome_withAPersonsKey_claimsNoRoleButTheirOwn()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var fitter = await yard.KeyAsync("record", yard.FitterId);
        var vet = await yard.KeyAsync("record", yard.VetId);
        var path = (await RecordAsync(yard, """{"kind":"lameness"}""")).Headers.Location + "/outcome";

        var refused = (await fitter.PostAsync(path, Outcome(null, "vet"))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
        (await vet.PostAsync(path, Outcome(yard.FitterId, "vet"))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
        var closed = (await vet.PostAsync(path, Outcome(null, "vet"))).Should(HttpStatusCode.OK);

        Assert.NotNull(refused["errors"]!["/role"]);
        Assert.Equal(yard.VetId, closed["outcome"]!["by"]!.GetValue<string>());
    }

    [Theory]
    [InlineData("""{"on":"2026-11-23"}""", "/on")]
    [InlineData("""{"on":"2026-11-26"}""", "/on")]
    [InlineData("""{"note":""}""", "/note")]
    [InlineData("""{"role":null}""", "/role")]
    [InlineData("""{"by":null}""", "/by")]
    public async Task Outcome_thatCannotBe_isRefusedAndChangesNothing(string change, string pointer)
    {
        await using var yard = await MeasuringYard.StartAsync();
        var made = await RecordAsync(yard, """{"kind":"rub"}""");
        var outcome = Outcome(yard.FitterId, "fitter");
        foreach (var (name, value) in JsonNode.Parse(change)!.AsObject())
            outcome[name] = value?.DeepClone();

        var reply = (await yard.Recorder.PostAsync(made.Headers.Location + "/outcome", outcome)).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");

        Assert.NotNull(reply["errors"]![pointer]);
        Assert.True((await yard.Reader.GetAsync(made.Headers.Location!.ToString()))["open"]!.GetValue<bool>());
    }

    [Fact]
    public async Task Void_ofAVetFirstSign_needsManage()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var sign = (await RecordAsync(yard, """{"kind":"swelling"}""")).Headers.Location!.ToString();

        (await yard.Recorder.PostAsync(sign + "/void", new { reason = "mud" })).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await yard.Manager.PostAsync(sign + "/void", new { })).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
        (await yard.Manager.PostAsync(sign + "/void", new { reason = "mud" }, ("If-Match", "\"4\""))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");
        var voided = (await yard.Manager.PostAsync(sign + "/void", new { reason = "mud" })).Should(HttpStatusCode.OK);
        (await yard.Manager.PostAsync(sign + "/void", new { reason = "mud" })).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        (await yard.Manager.PostAsync(sign + "/outcome", Outcome(yard.VetId, "vet"))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");

        Assert.Equal("mud", voided["voidReason"]!.GetValue<string>());
        Assert.False(voided["open"]!.GetValue<bool>());
    }

    [Fact]
    public async Task AnyRoute_withAnotherYardsKeyOrALesserScope_isRefused()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var seen = Dated("""{"kind":"rub"}""");
        var path = (await RecordAsync(yard, """{"kind":"rub"}""")).Headers.Location!.ToString();

        (await yard.Stranger.PostAsync(yard.Observations, seen)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Stranger.GetAsync(yard.Observations)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Stranger.GetAsync(path)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Stranger.PostAsync(path + "/outcome", Outcome(yard.FitterId, "fitter"))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Stranger.PostAsync(path + "/void", new { reason = "x" })).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Reader.PostAsync(yard.Observations, seen)).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await yard.Reader.PostAsync(path + "/outcome", Outcome(yard.FitterId, "fitter"))).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await yard.Reader.PostAsync(path + "/void", new { reason = "x" })).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");

        Assert.True((await yard.Reader.GetAsync(path))["open"]!.GetValue<bool>());
    }

    private static async Task<Reply> RecordAsync(MeasuringYard yard, string seen) =>
        (await yard.Recorder.PostAsync(yard.Observations, Dated(seen))).Should(HttpStatusCode.Created);

    private static JsonObject Dated(string seen)
    {
        var observation = JsonNode.Parse(seen)!.AsObject();
        if (!observation.ContainsKey("observedOn"))
            observation["observedOn"] = "2026-11-24";
        return observation;
    }

    private static JsonObject Outcome(string? by, string role) =>
        new() { ["on"] = "2026-11-25", ["by"] = by, ["role"] = role, ["outcome"] = "treated", ["note"] = "looked at it" };
}
