using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Keys;

public sealed class KeyTests
{
    [Fact]
    public async Task Make_forAPersonOrYardThatIsNotThere_isRefusedAtTheMember()
    {
        await using var service = await RunningService.StartAsync();
        var here = await Yardful.SettleAsync(service);
        var there = await Yardful.SettleAsync(service, "Mill Bottom");
        var admin = await here.KeyOfAsync(null, "admin");
        object Key(string? personId) => new { name = "x", scopes = new[] { "read" }, yardIds = new[] { here.YardId }, personId };

        foreach (var personId in new[] { "x", "", "0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69", there.VetId })
            Assert.NotNull((await admin.PostAsync("/v1/keys", Key(personId))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible")["errors"]!["/personId"]);
        (await admin.PostAsync("/v1/keys", Key(here.VetId.ToUpperInvariant()))).Should(HttpStatusCode.Created);
        (await admin.PostAsync("/v1/keys", new { name = "x", scopes = new[] { "read" }, yardIds = new[] { there.YardId } })).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await admin.PostAsync("/v1/keys", new { name = "x", scopes = new[] { "read" }, yardIds = new[] { here.YardId }, everyYard = true })).ShouldBeProblem(HttpStatusCode.BadRequest, "unknown-member");
    }

    [Fact]
    public async Task Make_withAPersonsKey_isForThatPersonAlone()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var manager = await yard.KeyOfAsync(yard.ManagerId, "admin");
        object Key(string? personId) => new { name = "x", scopes = new[] { "fit" }, yardIds = new[] { yard.YardId }, personId };

        (await manager.PostAsync("/v1/keys", Key(yard.VetId))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
        (await manager.PostAsync("/v1/keys", Key(null))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
        (await manager.PostAsync("/v1/keys", Key(yard.ManagerId))).Should(HttpStatusCode.Created);
    }

    [Fact]
    public async Task Yard_byAKeyOfSomeYards_isNotMade()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);

        (await (await yard.KeyOfAsync(null, "admin")).PostAsync("/v1/yards", new { name = "Mine", timeZone = "UTC" })).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        Assert.Single((await service.Admin.GetAsync("/v1/yards")).Items);
    }

    [Fact]
    public async Task Rotate_repeatedWithTheSameIdempotencyKey_neverShowsTheSecretAgain()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var made = await service.Admin.PostAsync("/v1/keys", new { name = "x", scopes = new[] { "read" }, yardIds = new[] { yard.YardId } });

        var rotated = (await service.Admin.PostAsync($"/v1/keys/{made["id"]}/rotate", new { }, ("Idempotency-Key", "r"))).Should(HttpStatusCode.Created);
        var again = (await service.Admin.PostAsync($"/v1/keys/{made["id"]}/rotate", new { }, ("Idempotency-Key", "r"))).Should(HttpStatusCode.Created);

        Assert.Null(again["secret"]);
        (await service.ClientFor(made["secret"]!.GetValue<string>()).GetAsync("/v1/yards")).Should(HttpStatusCode.OK);
        (await service.ClientFor(rotated["secret"]!.GetValue<string>()).GetAsync("/v1/yards")).Should(HttpStatusCode.OK);
        service.Clock.Advance(TimeSpan.FromHours(25));
        (await service.ClientFor(made["secret"]!.GetValue<string>()).GetAsync("/v1/yards")).ShouldBeProblem(HttpStatusCode.Unauthorized, "no-key");
    }

    [Fact]
    public async Task Revoke_ofAKeyInUse_endsItAtOnceHereAndSoonInAnotherInstance()
    {
        await using var service = await RunningService.StartAsync(StoreKind.Postgres);
        var beside = await service.AgainAsync(new());
        var made = await service.Admin.PostAsync("/v1/keys", new { name = "x", scopes = new[] { "admin" } });
        var secret = made["secret"]!.GetValue<string>();
        (await beside.ClientFor(secret).GetAsync("/v1/yards")).Should(HttpStatusCode.OK);
        (await service.ClientFor(secret).GetAsync("/v1/yards")).Should(HttpStatusCode.OK);

        (await service.Admin.SendAsync(HttpMethod.Delete, $"/v1/keys/{made["id"]}", null)).Should(HttpStatusCode.OK);

        (await service.ClientFor(secret).GetAsync("/v1/yards")).ShouldBeProblem(HttpStatusCode.Unauthorized, "no-key");
        await Eventually.TrueAsync(async () => (await beside.ClientFor(secret).GetAsync("/v1/yards")).Status == HttpStatusCode.Unauthorized, () => "The key works on though another instance has ended it.");
    }
}
