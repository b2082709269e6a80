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

    private static async Task<IReadOnlyList<string>> ListAsync(RunningService service, string sql)
    {
        await using var connection = await service.Database.Dialect.OpenAsync(TestContext.Current.CancellationToken);
        return [.. await connection.QueryAsync<string>(sql)];
    }
}
