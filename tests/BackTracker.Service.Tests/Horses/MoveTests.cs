using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Horses;

public sealed class MoveTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Move_toAnotherYard_takesTheHorseAndItsHistoryThere(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var (from, to) = (await service.YardAsync(), await service.YardAsync("Larkfield Beck"));
        var horse = "/v1/horses/" + await service.HorseAsync(from);
        var (left, right) = (await service.ClientAsync("read", from), await service.ClientAsync("read", to));
        var before = await service.Admin.GetAsync(horse);

        var made = (await service.Admin.PostAsync($"{horse}/moves", new { on = "2026-11-25", toYardId = to })).Should(HttpStatusCode.Created);

        var after = await right.GetAsync(horse);
        Assert.Equal(to, after["yardId"]!.GetValue<string>());
        Assert.Equal("active", after["status"]!.GetValue<string>());
        Assert.NotEqual(before.Etag, after.Etag);
        Assert.Equal(made.Text, (await service.Admin.GetAsync(made.Headers.Location!.ToString())).Text);
        Assert.Equal(from, made["fromYardId"]!.GetValue<string>());
        Assert.Equal([null], (await right.GetAsync($"{horse}/moves")).Texts("fromYardId"));
        Assert.Equal([to], (await right.GetAsync($"/v1/moves?yardId={to}")).Texts("toYardId"));
        (await left.GetAsync(horse)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await left.GetAsync(made.Headers.Location!.ToString())).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        Assert.Empty((await left.GetAsync("/v1/moves")).Items);
    }

    [Fact]
    public async Task Move_toAStatusAndBack_setsItAtOnce()
    {
        await using var service = await RunningService.StartAsync();
        var horse = "/v1/horses/" + await service.HorseAsync(await service.YardAsync());

        foreach (var status in new[] { "sold", "active", "retired", "died" })
        {
            (await service.Admin.PostAsync($"{horse}/moves", new { on = "2026-11-24", status })).Should(HttpStatusCode.Created);
            Assert.Equal(status, (await service.Admin.GetAsync(horse))["status"]!.GetValue<string>());
        }

        Assert.Equal(["sold", "active", "retired", "died"], (await service.Admin.GetAsync($"{horse}/moves")).Texts("status"));
    }

    [Theory]
    [InlineData("""{"on":"2026-11-20"}""", 422, "impossible", "/toYardId")]
    [InlineData("""{"on":"2026-11-20","toYardId":"OTHER","status":"sold"}""", 422, "impossible", "/toYardId")]
    [InlineData("""{"status":"sold"}""", 422, "impossible", "/on")]
    [InlineData("""{"on":"2026-11-26","status":"sold"}""", 422, "impossible", "/on")]
    [InlineData("""{"on":"1959-11-20","status":"sold"}""", 422, "impossible", "/on")]
    [InlineData("""{"on":"2026-11-20","status":"lost"}""", 400, "malformed", "/status")]
    [InlineData("""{"on":"2026-11-20","toYardId":"01890000-0000-7000-8000-000000000000"}""", 404, "not-found", null)]
    [InlineData("""{"on":"2026-11-20","toYardId":"YARD"}""", 409, "conflict", null)]
    [InlineData("""{"on":"2026-11-20","status":"active"}""", 409, "conflict", null)]
    public async Task Move_badInput_saysWhereAndChangesNothing(string body, int status, string kind, string? pointer)
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Larkfield Beck"));
        var horse = "/v1/horses/" + await service.HorseAsync(yard);
        var before = await service.Admin.GetAsync(horse);

        var sent = body.Replace("YARD", yard, StringComparison.Ordinal).Replace("OTHER", other, StringComparison.Ordinal);
        var reply = (await service.Admin.SendAsync(HttpMethod.Post, $"{horse}/moves", sent)).ShouldBeProblem((HttpStatusCode)status, kind);

        if (pointer is not null)
            Assert.NotNull(reply["errors"]![pointer]);
        Assert.Equal(before.Text, (await service.Admin.GetAsync(horse)).Text);
        Assert.Empty((await service.Admin.GetAsync($"{horse}/moves")).Items);
    }

    [Fact]
    public async Task Move_beforeTheLatestMove_isAConflict()
    {
        await using var service = await RunningService.StartAsync();
        var horse = "/v1/horses/" + await service.HorseAsync(await service.YardAsync());
        await service.Admin.MakeAsync($"{horse}/moves", new { on = "2026-11-20", status = "sold" });

        (await service.Admin.PostAsync($"{horse}/moves", new { on = "2026-11-19", status = "active" })).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");

        Assert.Equal("sold", (await service.Admin.GetAsync(horse))["status"]!.GetValue<string>());
    }

    [Fact]
    public async Task Move_onADayThatHasBegunInTheYardOnly_isAllowed()
    {
        await using var service = await RunningService.StartAsync(now: "2026-11-25T20:00:00Z");
        var horse = "/v1/horses/" + await service.HorseAsync(await service.YardAsync(timeZone: "Pacific/Auckland"));

        (await service.Admin.PostAsync($"{horse}/moves", new { on = "2026-11-26", status = "sold" })).Should(HttpStatusCode.Created);
    }

    [Fact]
    public async Task Move_byForeignKeyLesserScopeOrToAForeignYard_isRefused()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Elsewhere"));
        var moves = $"/v1/horses/{await service.HorseAsync(yard)}/moves";
        var sale = new { on = "2026-11-20", status = "sold" };

        (await (await service.ClientAsync("manage", other)).PostAsync(moves, sale)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await (await service.ClientAsync("record", yard)).PostAsync(moves, sale)).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await (await service.ClientAsync("manage", yard)).PostAsync(moves, new { on = "2026-11-20", toYardId = other })).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");

        Assert.Empty((await service.Admin.GetAsync(moves)).Items);
    }

    [Fact]
    public async Task Move_repeatedWithTheSameKey_movesOnce()
    {
        await using var service = await RunningService.StartAsync();
        var moves = $"/v1/horses/{await service.HorseAsync(await service.YardAsync())}/moves";

        var first = await service.Admin.PostAsync(moves, new { on = "2026-11-20", status = "sold" }, ("Idempotency-Key", "one"));
        var again = await service.Admin.PostAsync(moves, new { on = "2026-11-20", status = "sold" }, ("Idempotency-Key", "one"));

        Assert.Equal(first.Text, again.Should(HttpStatusCode.Created).Text);
        Assert.Single((await service.Admin.GetAsync(moves)).Items);
    }
}
