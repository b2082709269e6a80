using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.People;

public sealed class PersonTests
{
    private static object Fitter(params string[] yardIds) => new
    {
        name = "Isolde Marsh",
        role = "fitter",
        email = "isolde@example.org",
        yardIds,
        bookingLeadDays = 21,
        workingDays = new[] { "monday", "thursday" },
    };

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Register_thenGetListAndChange_keepsEverything(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var yard = await service.YardAsync();

        var made = (await service.Admin.PostAsync("/v1/people", Fitter(yard))).Should(HttpStatusCode.Created);
        var path = made.Headers.Location!.ToString();
        var got = (await service.Admin.GetAsync(path)).Should(HttpStatusCode.OK);

        Assert.Equal(made.Text, got.Text);
        Assert.Equal(21, got["bookingLeadDays"]!.GetValue<int>());
        Assert.Equal(["monday", "thursday"], got["workingDays"]!.AsArray().Select(d => d!.GetValue<string>()));
        Assert.Equal(yard, got["yardIds"]!.AsArray().Single()!.GetValue<string>());
        Assert.Single((await service.Admin.GetAsync($"/v1/people?yardId={yard}&role=fitter")).Items);
        Assert.Empty((await service.Admin.GetAsync("/v1/people?role=vet")).Items);

        var changed = (await service.Admin.PutAsync(path, new { name = "Isolde Reed", role = "yard-manager", yardIds = new[] { yard } }, ("If-Match", got.Etag))).Should(HttpStatusCode.OK);
        Assert.Equal(changed.Text, (await service.Admin.GetAsync(path)).Text);
        Assert.Equal("yard-manager", changed["role"]!.GetValue<string>());
        Assert.Null(changed["email"]);
        Assert.NotEqual(got.Etag, changed.Etag);
    }

    [Theory]
    [InlineData("""{"name":"A","role":"farrier","yardIds":["Y"]}""", 400, "malformed", "/role")]
    [InlineData("""{"name":"A","role":"vet","yardIds":["Y"],"phone":"1"}""", 400, "unknown-member", "/phone")]
    [InlineData("""{"name":"A","role":"vet","yardIds":["Y"],"workingDays":["someday"]}""", 400, "malformed", null)]
    [InlineData("""{"name":"A","role":"vet","yardIds":[]}""", 422, "impossible", "/yardIds")]
    [InlineData("""{"name":"A","role":"vet"}""", 422, "impossible", "/yardIds")]
    [InlineData("""{"name":"A","yardIds":["Y"]}""", 422, "impossible", "/role")]
    [InlineData("""{"role":"vet","yardIds":["Y"]}""", 422, "impossible", "/name")]
    [InlineData("""{"name":"A","role":"vet","yardIds":["Y"],"bookingLeadDays":366}""", 422, "impossible", "/bookingLeadDays")]
    [InlineData("""{"name":"A","role":"vet","yardIds":["Y"],"email":"a@b"}""", 422, "impossible", "/email")]
    [InlineData("""{"name":"A","role":"vet","yardIds":["Y"],"email":"a b@example.org"}""", 422, "impossible", "/email")]
    [InlineData("""{"name":"A","role":"vet","yardIds":["nowhere"]}""", 404, "not-found", null)]
    public async Task Register_badInput_saysWhereAndKeepsNothing(string body, int status, string kind, string? pointer)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();

        var reply = (await service.Admin.SendAsync(HttpMethod.Post, "/v1/people", body.Replace("\"Y\"", $"\"{yard}\"", StringComparison.Ordinal)))
            .ShouldBeProblem((HttpStatusCode)status, kind);

        if (pointer is not null)
            Assert.NotNull(reply["errors"]![pointer]);
        Assert.Empty((await service.Admin.GetAsync("/v1/people")).Items);
    }

    [Fact]
    public async Task List_byAWordThatIsNoRole_isRefused()
    {
        await using var service = await RunningService.StartAsync();

        (await service.Admin.GetAsync("/v1/people?role=farrier")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Change_byKeyOfOneYard_keepsTheYardsItCannotSee(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var (seen, second, unseen) = (await service.YardAsync(), await service.YardAsync("Larkfield Beck"), await service.YardAsync("Elsewhere"));
        var path = "/v1/people/" + await service.Admin.MakeAsync("/v1/people", Fitter(seen, unseen));
        var manager = await service.ClientAsync("manage", seen, second);

        var read = (await manager.GetAsync(path)).Should(HttpStatusCode.OK);
        Assert.Equal(seen, read["yardIds"]!.AsArray().Single()!.GetValue<string>());
        var changed = (await manager.PutAsync(path, Fitter(second), ("If-Match", read.Etag))).Should(HttpStatusCode.OK);

        Assert.Equal(second, changed["yardIds"]!.AsArray().Single()!.GetValue<string>());
        var all = (await service.Admin.GetAsync(path))["yardIds"]!.AsArray().Select(y => y!.GetValue<string>());
        Assert.Equal(new[] { second, unseen }.Order(), all.Order());
        (await manager.PutAsync(path, new { name = "Somebody Else", role = "rider", yardIds = new[] { second } }, ("If-Match", changed.Etag))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        Assert.Equal("fitter", (await service.Admin.GetAsync(path))["role"]!.GetValue<string>());
    }

    [Fact]
    public async Task Anything_byKeyOfAnotherYardOrLesserScope_isRefused()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Elsewhere"));
        var path = "/v1/people/" + await service.Admin.MakeAsync("/v1/people", Fitter(yard));
        var stranger = await service.ClientAsync("manage", other);
        var fitter = await service.ClientAsync("fit", yard);

        (await stranger.GetAsync(path)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.PutAsync(path, Fitter(other), ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.PostAsync("/v1/people", Fitter(other, yard))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.GetAsync($"/v1/people?yardId={yard}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        Assert.Empty((await stranger.GetAsync("/v1/people")).Items);
        (await fitter.PostAsync("/v1/people", Fitter(yard))).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await fitter.PutAsync(path, Fitter(yard), ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await fitter.GetAsync(path)).Should(HttpStatusCode.OK);
    }

    [Fact]
    public async Task Register_repeatedWithTheSameKey_makesOnePerson()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();

        var first = await service.Admin.PostAsync("/v1/people", Fitter(yard), ("Idempotency-Key", "one"));
        var again = await service.Admin.PostAsync("/v1/people", Fitter(yard), ("Idempotency-Key", "one"));

        Assert.Equal(first.Text, again.Text);
        Assert.Single((await service.Admin.GetAsync("/v1/people")).Items);
    }

    [Fact]
    public async Task Change_withStaleVersion_isRefusedAndChangesNothing()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();
        var made = await service.Admin.PostAsync("/v1/people", Fitter(yard));
        var path = made.Headers.Location!.ToString();
        var changed = new { name = "Other", role = "vet", yardIds = new[] { yard } };

        (await service.Admin.PutAsync(path, changed)).ShouldBeProblem((HttpStatusCode)428, "if-match-missing");
        (await service.Admin.PutAsync(path, changed, ("If-Match", "\"9\""))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");

        Assert.Equal(made.Text, (await service.Admin.GetAsync(path)).Text);
    }
}
