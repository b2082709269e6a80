using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Saddles;

public sealed class SaddleTests
{
    private static object Trail(string yardId, string tree = "adjustable") => new
    {
        yardId,
        label = "Brown trail saddle",
        maker = "Hale of Larkfield",
        serial = "LF-17",
        tree,
        filling = "wool",
        madeOn = "2024-03-01",
    };

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Register_thenGetListAndChange_keepsEverything(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Down the valley"));

        var made = (await service.Admin.PostAsync("/v1/saddles", Trail(yard))).Should(HttpStatusCode.Created);
        var path = made.Headers.Location!.ToString();
        var got = (await service.Admin.GetAsync(path)).Should(HttpStatusCode.OK);

        Assert.Equal(made.Text, got.Text);
        Assert.Equal("2024-03-01", got["madeOn"]!.GetValue<string>());
        Assert.Single((await service.Admin.GetAsync($"/v1/saddles?yardId={yard}")).Items);
        Assert.Empty((await service.Admin.GetAsync($"/v1/saddles?yardId={other}")).Items);

        var changed = (await service.Admin.PutAsync(path, new { yardId = yard, label = "Old brown", tree = "rigid", filling = "foam" }, ("If-Match", got.Etag))).Should(HttpStatusCode.OK);
        Assert.Equal(changed.Text, (await service.Admin.GetAsync(path)).Text);
        Assert.Equal("rigid", changed["tree"]!.GetValue<string>());
        Assert.Null(changed["maker"]);
        Assert.NotEqual(got.Etag, changed.Etag);
    }

    [Theory]
    [InlineData("""{"yardId":"Y","label":"A","tree":"wooden","filling":"wool"}""", 400, "malformed", "/tree")]
    [InlineData("""{"yardId":"Y","label":"A","tree":"rigid","filling":"straw"}""", 400, "malformed", "/filling")]
    [InlineData("""{"yardId":"Y","label":"A","tree":"rigid","filling":"wool","size":"M"}""", 400, "unknown-member", "/size")]
    [InlineData("""{"yardId":"Y","label":"A","tree":"rigid","filling":"wool","madeOn":"1.3.2024"}""", 400, "malformed", "/madeOn")]
    [InlineData("""{"yardId":"Y","label":"","tree":"rigid","filling":"wool"}""", 422, "impossible", "/label")]
    [InlineData("""{"yardId":"Y","label":"A","filling":"wool"}""", 422, "impossible", "/tree")]
    [InlineData("""{"yardId":"Y","label":"A","tree":"rigid"}""", 422, "impossible", "/filling")]
    [InlineData("""{"label":"A","tree":"rigid","filling":"wool"}""", 422, "impossible", "/yardId")]
    [InlineData("""{"yardId":"nowhere","label":"A","tree":"rigid","filling":"wool"}""", 404, "not-found", null)]
    public async Task Register_badInput_saysWhereAndKeepsNothing(string body, int status, string kind, string? pointer)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();

        var reply = await service.Admin.PostTextAsync("/v1/saddles", body, ("Y", yard));

        reply.ShouldPoint(status, kind, pointer);
        Assert.Empty((await service.Admin.GetAsync("/v1/saddles")).Items);
    }

    [Fact]
    public async Task Register_repeatedWithTheSameKey_makesOneSaddle()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();

        var first = await service.Admin.PostAsync("/v1/saddles", Trail(yard), ("Idempotency-Key", "one"));
        var again = await service.Admin.PostAsync("/v1/saddles", Trail(yard), ("Idempotency-Key", "one"));

        Assert.Equal(first.Text, again.Text);
        Assert.Single((await service.Admin.GetAsync("/v1/saddles")).Items);
    }

    [Fact]
    public async Task Change_withoutOrWithStaleVersion_changesNothing()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();
        var made = await service.Admin.PostAsync("/v1/saddles", Trail(yard));
        var path = made.Headers.Location!.ToString();

        (await service.Admin.PutAsync(path, Trail(yard, "rigid"))).ShouldBeProblem((HttpStatusCode)428, "if-match-missing");
        (await service.Admin.PutAsync(path, Trail(yard, "rigid"), ("If-Match", "\"7\""))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");

        Assert.Equal(made.Text, (await service.Admin.GetAsync(path)).Text);
    }

    [Fact]
    public async Task Change_ofYard_isRefused()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Down the valley"));
        var made = await service.Admin.PostAsync("/v1/saddles", Trail(yard));

        var reply = await service.Admin.PutAsync(made.Headers.Location!.ToString(), Trail(other), ("If-Match", made.Etag));

        reply.ShouldPoint(422, "impossible", "/yardId");
    }

    [Fact]
    public async Task Change_toTreeless_withALiveTreeShape_isRefusedUntilItIsVoided()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();
        var made = await service.Admin.PostAsync("/v1/saddles", Trail(yard));
        var path = made.Headers.Location!.ToString();
        var shape = (await service.Admin.PostAsync($"{path}/tree-shapes", new { from = TackSetup.Today, stations = new[] { new { station = "T13", width150Mm = 320 } } })).Should(HttpStatusCode.Created);

        (await service.Admin.PutAsync(path, Trail(yard, "treeless"), ("If-Match", made.Etag))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        Assert.Equal(made.Text, (await service.Admin.GetAsync(path)).Text);

        (await service.Admin.PostAsync($"{shape.Headers.Location}/void", new { reason = "another saddle's" }, ("If-Match", shape.Etag))).Should(HttpStatusCode.OK);
        (await service.Admin.PutAsync(path, Trail(yard, "treeless"), ("If-Match", made.Etag))).Should(HttpStatusCode.OK);
    }

    [Fact]
    public async Task EveryRoute_withAnotherYardsKey_findsNothing()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Down the valley"));
        var made = await service.Admin.PostAsync("/v1/saddles", Trail(yard));
        var path = made.Headers.Location!.ToString();
        var manager = await service.ClientAsync("manage", other);
        var fitter = await service.ClientAsync("fit", other);

        (await manager.GetAsync(path)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await manager.GetAsync($"/v1/saddles?yardId={yard}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await manager.PutAsync(path, Trail(yard), ("If-Match", made.Etag))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await manager.PostAsync("/v1/saddles", Trail(yard))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await fitter.GetAsync($"{path}/tree-shapes")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await fitter.GetAsync($"{path}/adjustments")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await fitter.PostAsync($"{path}/adjustments", new { doneOn = TackSetup.Today, kind = "repair" })).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        Assert.Empty((await manager.GetAsync("/v1/saddles")).Items);
    }

    [Fact]
    public async Task Register_withALesserScope_isForbidden()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();

        foreach (var scope in new[] { "read", "record", "fit" })
            (await (await service.ClientAsync(scope, yard)).PostAsync("/v1/saddles", Trail(yard))).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
    }
}
