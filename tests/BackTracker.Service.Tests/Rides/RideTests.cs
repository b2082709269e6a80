using System.Globalization;
using System.Net;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Rides;

public sealed class RideTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Ride_recordedThenVoided_isKeptWithItsReasonAndAsksForEveryHorseOfTheSaddle(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store, role: ServiceRole.Api);
        var yard = await service.YardAsync();
        var (horse, other, saddle) = (await service.HorseAsync(yard), await service.HorseAsync(yard, "Thistle"), await service.SaddleAsync(yard));
        await service.PairAsync(horse, saddle);
        await service.PairAsync(other, saddle);
        var before = await GenerationsAsync(service);

        var made = (await service.Admin.PostAsync($"/v1/horses/{horse}/rides", new { riddenOn = "2026-11-20", minutes = 45, saddleId = saddle })).Should(HttpStatusCode.Created);
        var path = made.Headers.Location!.ToString();
        Assert.Equal(made.Text, (await service.Admin.GetAsync(path)).Text);
        Assert.Equal(HttpStatusCode.NotModified, (await service.Admin.GetAsync(path, ("If-None-Match", made.Etag))).Status);
        Assert.Equal([2, 2], (await GenerationsAsync(service)).Zip(before, (now, then) => now - then + 1));

        (await service.Admin.PostAsync($"{path}/void", new { reason = "Another horse." }, ("If-Match", "\"9\""))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");
        var voided = (await service.Admin.PostAsync($"{path}/void", new { reason = "Another horse." }, ("If-Match", made.Etag))).Should(HttpStatusCode.OK);
        (await service.Admin.PostAsync($"{path}/void", new { reason = "Again." })).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");

        Assert.Equal(voided.Text, (await service.Admin.GetAsync(path)).Text);
        Assert.Equal(["Another horse."], (await service.Admin.GetAsync($"/v1/horses/{horse}/rides")).Texts("voidReason"));
        Assert.Single((await service.Admin.GetAsync($"/v1/rides?yardId={yard}")).Items);
        Assert.Empty((await service.Admin.GetAsync($"/v1/horses/{other}/rides")).Items);
        Assert.Equal([3, 3], (await GenerationsAsync(service)).Zip(before, (now, then) => now - then + 1));
    }

    [Theory]
    [InlineData("""{"minutes":45,"saddleId":"S"}""", 422, "impossible", "/riddenOn")]
    [InlineData("""{"riddenOn":"2026-11-20","saddleId":"S"}""", 422, "impossible", "/minutes")]
    [InlineData("""{"riddenOn":"2026-11-20","minutes":0,"saddleId":"S"}""", 422, "impossible", "/minutes")]
    [InlineData("""{"riddenOn":"2026-11-20","minutes":721,"saddleId":"S"}""", 422, "impossible", "/minutes")]
    [InlineData("""{"riddenOn":"2026-11-20","minutes":45}""", 422, "impossible", "/saddleId")]
    [InlineData("""{"riddenOn":"2026-11-26","minutes":45,"saddleId":"S"}""", 422, "impossible", "/riddenOn")]
    [InlineData("""{"riddenOn":"1959-11-26","minutes":45,"saddleId":"S"}""", 422, "impossible", "/riddenOn")]
    [InlineData("""{"riddenOn":"2025-12-31","minutes":45,"saddleId":"S"}""", 422, "impossible", "/saddleId")]
    [InlineData("""{"riddenOn":"2026-11-20","minutes":45,"saddleId":"U"}""", 422, "impossible", "/saddleId")]
    [InlineData("""{"riddenOn":"2026-11-20","minutes":45,"saddleId":"nothing"}""", 404, "not-found", null)]
    public async Task Record_badInput_saysWhereAndKeepsNothing(string body, int status, string kind, string? pointer)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await service.YardAsync();
        var (horse, saddle) = (await service.HorseAsync(yard), await service.SaddleAsync(yard));
        await service.PairAsync(horse, saddle);

        var reply = await service.Admin.PostTextAsync($"/v1/horses/{horse}/rides", body, ("S", saddle), ("U", await service.SaddleAsync(yard)));

        reply.ShouldPoint(status, kind, pointer);
        Assert.Empty((await service.Admin.GetAsync("/v1/rides")).Items);
    }

    // Twenty rides of an hour bed in new wool: due on the day after the last of them instead of after twelve weeks.
    [Fact]
    public async Task Rides_makeTheHoursOfTheFlocking_andStandBehindTheCheckTheyCalledFor()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await service.YardAsync(timeZone: "UTC");
        var (horse, saddle) = (await service.HorseAsync(yard), await service.SaddleAsync(yard));
        var fitter = await service.FitterAsync(yard);
        await service.PairAsync(horse, saddle, "2026-11-01");
        await service.Admin.MakeAsync($"/v1/saddles/{saddle}/adjustments", new { doneOn = "2026-11-01", doneBy = fitter, kind = "flocking", zones = new[] { new { side = "left", zone = "front", mm = 2 }, new { side = "right", zone = "front", mm = 2 } } });
        await service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);
        Assert.Equal("2027-01-24", await DueOnAsync(service));
        var stored = (await service.Admin.GetAsync($"/v1/horses/{horse}/assessments")).Items.Count;

        var rides = new List<string>();
        for (var day = 1; day <= 20; day++)
        {
            rides.Add(await service.Admin.MakeAsync($"/v1/horses/{horse}/rides", new { riddenOn = $"2026-11-{day.ToString("00", CultureInfo.InvariantCulture)}", minutes = 60, saddleId = saddle }));
            await service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);
        }

        // Foreseen from the rides of the first week; that the hours are reached six days sooner is too little to move a day.
        Assert.Equal("2026-11-27", await DueOnAsync(service));
        var assessments = (await service.Admin.GetAsync($"/v1/horses/{horse}/assessments")).Items;
        Assert.Equal(stored + 1, assessments.Count);
        // However many there are, the record of what was read does not grow.
        var read = assessments.Single(a => a!["inputs"]!["rides"]!["count"]!.GetValue<int>() > 0)!["inputs"]!["rides"]!;
        // With the eighth ride a week was whole, and its rate foretold the day.
        Assert.Equal((8, rides[0], rides[7]), (read["count"]!.GetValue<int>(), read["firstId"]!.GetValue<string>(), read["lastId"]!.GetValue<string>()));
    }

    private static async Task<string> DueOnAsync(RunningService service)
    {
        var flocking = Assert.Single((await service.Admin.GetAsync("/v1/checks?state=open")).Items, check => check!["kind"]!.GetValue<string>() == "flocking")!;
        Assert.Equal("bedding-in", flocking["reasons"]![0]!["cause"]!.GetValue<string>());
        return flocking["dueOn"]!.GetValue<string>();
    }

    private static async Task<IReadOnlyList<long>> GenerationsAsync(RunningService service) =>
        [.. (await service.WaitingAsync()).OrderBy(horse => horse.HorseId, StringComparer.Ordinal).Select(horse => horse.Generation)];
}
