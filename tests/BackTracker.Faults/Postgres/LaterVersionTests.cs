using BackTracker.Storage.Dialects;
using BackTracker.Storage.Migrations;
using DbUp.Engine;

namespace BackTracker.Faults.Postgres;

/// <summary>Instances that run while one of a later version brings its steps of the schema.</summary>
public sealed class LaterVersionTests
{
    private const int Some = 30;

    [Fact]
    public async Task LaterStep_thatIsAdditive_isGoneOnBesideUnderLoad_andAnyOtherEndsWhoDoesNotKnowIt()
    {
        await using var yard = await PostgresYard.CreateAsync();
        var (api, worker) = (await yard.ServeAsync("api"), await yard.ServeAsync("worker"));
        using var client = yard.ClientOf(api);
        await yard.LoadAsync(client);
        await yard.MoreAsync(Some, "There is no load.");
        await using var later = Dialect.Choose("", yard.Server.Connection);
        SqlScript[] additive = [.. Migrator.Scripts, new("9998_additive.sql",
            "-- additive: a column with a default, a table and an index.\nalter table measurements add column place text not null default '';\ncreate table places (id text primary key, measurement_id text references measurements (id));\ncreate index measurements_place on measurements (place);")];

        await Migrator.UpgradeAsync(later, additive, TestContext.Current.CancellationToken);

        await yard.MoreAsync(Some, "The api does not go on beside the step.");
        foreach (var earlier in new[] { api, worker, await yard.ServeAsync("api") })
        {
            using var probe = yard.ClientOf(earlier);
            Assert.Equal(200, await probe.StatusAsync("/health/ready"));
        }
        await yard.ReckonAsync(client);

        await Migrator.UpgradeAsync(later, [.. additive, new("9999_other.sql", "alter table measurements rename column method to means;")], TestContext.Current.CancellationToken);

        foreach (var service in new[] { api, worker })
        {
            var (exitCode, log) = await service.EndedAsync();
            Assert.Equal(1, exitCode);
            Assert.Contains("The database holds schema step 9999_other.sql, which this version does not know.", log, StringComparison.Ordinal);
        }
    }
}
