using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Yards;

public sealed class YardTests
{
    private static readonly object Larkfield = new { name = "Larkfield", timeZone = "Europe/London", closedDays = new[] { "sunday", "2026-12-25" } };

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Register_thenGet_answersWhatWasSent(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);

        var made = (await service.Admin.PostAsync("/v1/yards", Larkfield)).Should(HttpStatusCode.Created);
        var got = (await service.Admin.GetAsync(made.Headers.Location!.ToString())).Should(HttpStatusCode.OK);

        Assert.Equal(made.Text, got.Text);
        Assert.Equal("Europe/London", got["timeZone"]!.GetValue<string>());
        Assert.Equal(HttpStatusCode.NotModified, (await service.Admin.GetAsync(made.Headers.Location!.ToString(), ("If-None-Match", got.Etag))).Status);
    }

    [Fact]
    public async Task Change_withStaleVersion_isRefusedAndChangesNothing()
    {
        await using var service = await RunningService.StartAsync();
        var made = await service.Admin.PostAsync("/v1/yards", Larkfield);
        var path = made.Headers.Location!.ToString();
        var changed = new { name = "Larkfield Hill", timeZone = "Europe/London" };

        (await service.Admin.PutAsync(path, changed)).ShouldBeProblem((HttpStatusCode)428, "if-match-missing");
        (await service.Admin.PutAsync(path, changed, ("If-Match", "\"7\""))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");
        var first = (await service.Admin.PutAsync(path, changed, ("If-Match", made.Etag))).Should(HttpStatusCode.OK);
        (await service.Admin.PutAsync(path, Larkfield, ("If-Match", made.Etag))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");

        var now = await service.Admin.GetAsync(path);
        Assert.Equal("Larkfield Hill", now["name"]!.GetValue<string>());
        Assert.Equal(first.Etag, now.Etag);
    }

    [Fact]
    public async Task Register_repeatedWithTheSameKey_makesOneYard()
    {
        await using var service = await RunningService.StartAsync();

        var first = await service.Admin.PostAsync("/v1/yards", Larkfield, ("Idempotency-Key", "one"));
        var again = await service.Admin.PostAsync("/v1/yards", Larkfield, ("Idempotency-Key", "one"));
        var other = await service.Admin.PostAsync("/v1/yards", new { name = "Elsewhere", timeZone = "Europe/London" }, ("Idempotency-Key", "one"));

        Assert.Equal(first.Text, again.Text);
        Assert.Equal("true", again.Headers.GetValues("Idempotency-Replayed").Single());
        other.ShouldBeProblem(HttpStatusCode.UnprocessableContent, "idempotency-key-reused");
        Assert.Single((await service.Admin.GetAsync("/v1/yards")).Items);
    }

    [Theory]
    [InlineData("""{"name":"A","timeZone":"Europe/London","colour":"red"}""", 400, "unknown-member", "/colour")]
    [InlineData("""{"name":"A","timeZone":"Greenwich Mean"}""", 422, "impossible", "/timeZone")]
    [InlineData("""{"timeZone":"Europe/London"}""", 422, "impossible", "/name")]
    [InlineData("""{"name":"A","timeZone":"Europe/London","latitude":91}""", 422, "impossible", "/latitude")]
    [InlineData("""{"name":"A","timeZone":"Europe/London","latitude":1e999}""", 400, "malformed", "/latitude")]
    [InlineData("""{"name":"A","timeZone":"Europe/London","latitude":"51"}""", 400, "malformed", "/latitude")]
    [InlineData("""{"name":"A","timeZone":"Europe/London","closedDays":["someday"]}""", 422, "impossible", "/closedDays/0")]
    [InlineData("""{"name":"A","timeZone":""", 400, "malformed", null)]
    [InlineData("""[]""", 400, "malformed", null)]
    public async Task Register_badInput_saysWhereAndHowToMend(string body, int status, string kind, string? pointer)
    {
        await using var service = await RunningService.StartAsync();

        var reply = (await service.Admin.SendAsync(HttpMethod.Post, "/v1/yards", body)).ShouldBeProblem((HttpStatusCode)status, kind);

        if (pointer is not null)
            Assert.NotNull(reply["errors"]![pointer]);
        Assert.Empty((await service.Admin.GetAsync("/v1/yards")).Items);
    }

    [Fact]
    public async Task List_overPages_showsEachYardOnce()
    {
        await using var service = await RunningService.StartAsync();
        for (var i = 0; i < 5; i++)
            await service.Admin.MakeAsync("/v1/yards", new { name = $"Yard {i}", timeZone = "Europe/London" });

        var names = new List<string>();
        for (var next = "/v1/yards?limit=2"; next is not null;)
        {
            var page = await service.Admin.GetAsync(next);
            names.AddRange(page.Items.Select(y => y!["name"]!.GetValue<string>()));
            next = page["next"]?.GetValue<string>();
            Assert.Equal(next is not null, page.Headers.Contains("Link"));
        }

        Assert.Equal(["Yard 0", "Yard 1", "Yard 2", "Yard 3", "Yard 4"], names);
    }
}
