using System.Collections.Concurrent;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Alerts;
using BackTracker.Service.Tests.Harness;
using Dapper;

namespace BackTracker.Service.Tests.Jobs;

public sealed class TwoInstancesTests
{
    [Fact]
    public async Task Instances_onOneStore_shareTheJobsUnderIdsOfTheirOwn()
    {
        await using var service = await RunningService.StartAsync(StoreKind.Postgres);
        var another = await service.AgainAsync(new());

        await Eventually.TrueAsync(
            async () => (await ListAsync(service, "select distinct instance_name from qrtz_scheduler_state")).Count == 2, () => "They do not know of each other.");
        Assert.Single(await ListAsync(service, "select trigger_name from qrtz_triggers where trigger_name = 'nightly'"));

        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(340);
        await service.SettledAsync();
        Assert.Single((await service.Admin.GetAsync($"/v1/checks?horseId={yard.HorseId}")).Items, c => c!["kind"]!.GetValue<string>() == "refit");

        await another.StopAsync();
        await yard.MeasureAsync(320);
        await service.SettledAsync();
    }

    /// <summary>A day at once, so that each may even take the other for dead: the day is done once all the same, by whichever comes first.</summary>
    [Fact]
    public async Task Rounds_ofTwoWorkers_areDoneOnceADay()
    {
        await using var service = await RunningService.StartAsync(StoreKind.Postgres, role: ServiceRole.Api);
        var yard = await AlertYard.SettleAsync(service);
        await yard.SubscribeAsync(yard.ManagerId);
        var nights = new ConcurrentQueue<ServiceRole>();
        foreach (var _ in Enumerable.Range(0, 2))
            (await service.AgainAsync(new() { Backups = new() { Nightly = false } }, ServiceRole.Worker)).Database.Committed += session =>
            {
                if (session is { Actor: "nightly", Queued: true })
                    nights.Enqueue(ServiceRole.Worker);
            };
        await DoneAsync("nightly_on", 0);
        nights.Clear();

        for (var day = 1; day <= 3; day++)
        {
            await yard.SeeAsync("rub", await yard.HorseAsync($"Horse {day}"));
            service.Clock.Advance(TimeSpan.FromDays(1));
            await DoneAsync("digest_on", day);
            Assert.Equal(day, nights.Count);
            Assert.Equal(day, (await ListAsync(service, "select id from messages where occasion = 'digest'")).Count);
        }

        // The jobs look every few minutes.
        Task DoneAsync(string what, int day) => Eventually.TrueAsync(
            async () =>
            {
                service.Clock.Advance(TimeSpan.FromMinutes(1));
                return (await ListAsync(service, $"select {what} from yards")).Single() == $"2026-11-{25 + day}";
            }, () => $"{what} of day {day} was not reached.", withinSeconds: 60);
    }

    private static async Task<IReadOnlyList<string>> ListAsync(RunningService service, string sql)
    {
        await using var connection = await service.Database.Dialect.OpenAsync(TestContext.Current.CancellationToken);
        return [.. await connection.QueryAsync<string>(sql)];
    }
}
