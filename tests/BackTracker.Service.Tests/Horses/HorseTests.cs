using System.Net;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Tests.Horses;

public sealed class HorseTests
{
    private const string Chip = "826000000123456";
    private const string Ueln = "826001000012345";

    private static object Bramble(string yardId, string? microchip = Chip, string? ueln = Ueln) => new
    {
        yardId,
        name = "Bramble",
        bornOn = "2019-05-04",
        sex = "mare",
        breed = "hill cob",
        microchip,
        ueln,
        matureHeightMm = 1440,
        notes = "kind",
    };

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Register_thenGetListAndChange_keepsEverything(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var yard = await service.YardAsync();

        var made = (await service.Admin.PostAsync("/v1/horses", Bramble(yard, "826 000 000 123 456"))).Should(HttpStatusCode.Created);
        var path = made.Headers.Location!.ToString();
        var got = (await service.Admin.GetAsync(path)).Should(HttpStatusCode.OK);

        Assert.Equal(made.Text, got.Text);
        Assert.Equal(made.Etag, got.Etag);
        Assert.Equal(Chip, got["microchip"]!.GetValue<string>());
        Assert.Equal("2019-05-04", got["bornOn"]!.GetValue<string>());
        Assert.Equal("active", got["status"]!.GetValue<string>());
        Assert.Null(got["phase"]);
        Assert.Equal(HttpStatusCode.NotModified, (await service.Admin.GetAsync(path, ("If-None-Match", got.Etag))).Status);

        var changed = (await service.Admin.PutAsync(path, new { yardId = yard, name = "Bramble II" }, ("If-Match", got.Etag))).Should(HttpStatusCode.OK);
        var after = await service.Admin.GetAsync(path);
        Assert.Equal(changed.Text, after.Text);
        Assert.Equal(changed.Etag, after.Etag);
        Assert.Null(after["microchip"]);
        Assert.Equal(["Bramble II"], (await service.Admin.GetAsync($"/v1/horses?yardId={yard}&status=active")).Texts("name"));
        Assert.Empty((await service.Admin.GetAsync("/v1/horses?status=sold")).Items);
        (await service.Admin.GetAsync("/v1/horses?status=lost")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
    }

    [Theory]
    [InlineData("""{"yardId":"Y","name":"A","colour":"bay"}""", 400, "unknown-member", "/colour")]
    [InlineData("""{"yardId":"Y","name":"A","sex":"filly"}""", 400, "malformed", "/sex")]
    [InlineData("""{"yardId":"Y","name":"A","bornOn":"04/05/2019"}""", 400, "malformed", "/bornOn")]
    [InlineData("""{"yardId":"Y"}""", 422, "impossible", "/name")]
    [InlineData("""{"name":"A"}""", 422, "impossible", "/yardId")]
    [InlineData("""{"yardId":"Y","name":"A","bornOn":"1959-12-31"}""", 422, "impossible", "/bornOn")]
    [InlineData("""{"yardId":"Y","name":"A","bornOn":"2026-11-26"}""", 422, "impossible", "/bornOn")]
    [InlineData("""{"yardId":"Y","name":"A","microchip":"82600000012345"}""", 422, "impossible", "/microchip")]
    [InlineData("""{"yardId":"Y","name":"A","microchip":"826274877906944"}""", 422, "impossible", "/microchip")]
    [InlineData("""{"yardId":"Y","name":"A","ueln":"82600100001234"}""", 422, "impossible", "/ueln")]
    [InlineData("""{"yardId":"Y","name":"A","matureHeightMm":144}""", 422, "impossible", "/matureHeightMm")]
    [InlineData("""{"yardId":"nowhere","name":"A"}""", 404, "not-found", null)]
    public async Task Register_badInput_saysWhereAndKeepsNothing(string body, int status, string kind, string? pointer)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();

        var reply = (await service.Admin.SendAsync(HttpMethod.Post, "/v1/horses", body.Replace("\"Y\"", $"\"{yard}\"", StringComparison.Ordinal)))
            .ShouldBeProblem((HttpStatusCode)status, kind);

        if (pointer is not null)
            Assert.NotNull(reply["errors"]![pointer]);
        Assert.Empty((await service.Admin.GetAsync("/v1/horses")).Items);
    }

    [Fact]
    public async Task Register_severalFaults_namesThemAllAtOnce()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();

        var reply = await service.Admin.PostAsync("/v1/horses", new { yardId = yard, name = "A", bornOn = "1900-01-01", microchip = "1", ueln = "2" });

        Assert.Equal(["/bornOn", "/microchip", "/ueln"], reply["errors"]!.AsObject().Select(e => e.Key).Order());
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Numbers_ofAHorseTheKeyCannotSee_areRefusedWithoutTellingWhose(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Elsewhere"));
        var hidden = await service.Admin.MakeAsync("/v1/horses", Bramble(other));
        var manager = await service.ClientAsync("manage", yard);

        var both = (await manager.PostAsync("/v1/horses", Bramble(yard))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        var one = (await manager.PostAsync("/v1/horses", Bramble(yard, null, Ueln))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        var mine = (await manager.PostAsync("/v1/horses", new { yardId = yard, name = "Sorrel" })).Should(HttpStatusCode.Created);
        (await manager.PutAsync(mine.Headers.Location!.ToString(), Bramble(yard, Chip, null), ("If-Match", mine.Etag))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");

        Assert.Equal(["/microchip", "/ueln"], both["errors"]!.AsObject().Select(e => e.Key));
        Assert.Equal(["/ueln"], one["errors"]!.AsObject().Select(e => e.Key));
        Assert.DoesNotContain(hidden, both.Text, StringComparison.Ordinal);
        Assert.DoesNotContain(other, both.Text, StringComparison.Ordinal);
        Assert.Equal(["Sorrel"], (await manager.GetAsync("/v1/horses")).Texts("name"));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Register_theSameNumbersAtTheSameMoment_letsOneThrough(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var yard = await service.YardAsync();

        var replies = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => service.Admin.PostAsync("/v1/horses", Bramble(yard))));

        Assert.Single(replies, r => r.Status == HttpStatusCode.Created);
        Assert.All(replies.Where(r => r.Status != HttpStatusCode.Created), r => r.ShouldBeProblem(HttpStatusCode.Conflict, "conflict"));
        Assert.Single((await service.Admin.GetAsync("/v1/horses")).Items);
    }

    [Fact]
    public async Task Change_toItsOwnNumbers_isNoConflict()
    {
        await using var service = await RunningService.StartAsync();
        var made = await service.Admin.PostAsync("/v1/horses", Bramble(await service.YardAsync()));

        (await service.Admin.PutAsync(made.Headers.Location!.ToString(), Bramble(made["yardId"]!.GetValue<string>()), ("If-Match", made.Etag))).Should(HttpStatusCode.OK);
    }

    [Fact]
    public async Task Change_ofYardOrWithoutTheVersion_isRefusedAndChangesNothing()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Elsewhere"));
        var made = await service.Admin.PostAsync("/v1/horses", Bramble(yard));
        var path = made.Headers.Location!.ToString();

        var moved = (await service.Admin.PutAsync(path, Bramble(other), ("If-Match", made.Etag))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
        (await service.Admin.PutAsync(path, Bramble(yard))).ShouldBeProblem((HttpStatusCode)428, "if-match-missing");
        (await service.Admin.PutAsync(path, Bramble(yard), ("If-Match", "\"9\""))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");

        Assert.Contains("/moves", moved["errors"]!["/yardId"]!.ToString(), StringComparison.Ordinal);
        Assert.Equal(made.Text, (await service.Admin.GetAsync(path)).Text);
    }

    [Fact]
    public async Task Anything_byKeyOfAnotherYardOrLesserScope_isRefused()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Elsewhere"));
        var path = "/v1/horses/" + await service.HorseAsync(yard);
        var stranger = await service.ClientAsync("manage", other);
        var recorder = await service.ClientAsync("record", yard);

        (await stranger.GetAsync(path)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.PutAsync(path, Bramble(yard), ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.PostAsync("/v1/horses", Bramble(yard))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.GetAsync($"/v1/horses?yardId={yard}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        Assert.Empty((await stranger.GetAsync("/v1/horses")).Items);
        (await recorder.PostAsync("/v1/horses", Bramble(yard))).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await recorder.PutAsync(path, Bramble(yard), ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        Assert.Single((await recorder.GetAsync("/v1/horses")).Items);
    }

    [Fact]
    public async Task Register_repeatedWithTheSameKey_makesOneHorseAndQueuesIt()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await service.YardAsync();

        var first = await service.Admin.PostAsync("/v1/horses", Bramble(yard), ("Idempotency-Key", "one"));
        var again = await service.Admin.PostAsync("/v1/horses", Bramble(yard), ("Idempotency-Key", "one"));

        Assert.Equal(first.Text, again.Text);
        await using var session = await service.Database.ReadAsync(TestContext.Current.CancellationToken);
        Assert.Equal(first["id"]!.GetValue<string>(), Assert.Single(await WorkQueueStore.NextAsync(session, service.Clock.GetUtcNow().AddDays(1), 9)).HorseId);
    }
}
