using System.Globalization;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Backup;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Migrations;

namespace BackTracker.Faults;

/// <summary>The real binary killed while it upgrades the schema: the next start ends what was begun, and every row is there.</summary>
public sealed class UpgradeKillTests : IDisposable
{
    private const int Entries = 20_000;
    private static readonly CancellationToken Cancel = CancellationToken.None;
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-fault-").FullName;

    // Before the long one; in it: where so many entries come from takes a while to find out; after it.
    [Theory, InlineData(4), InlineData(8), InlineData(11)]
    public Task Kill_duringAnUpgradeOfAFile_isWholeAtTheNextStart(int afterSteps) => UpgradeAsync(null, afterSteps);

    [Theory, InlineData(4), InlineData(8), InlineData(11)]
    public async Task Kill_duringAnUpgradeOnAServer_isWholeAtTheNextStart(int afterSteps)
    {
        await using var server = await OwnPostgres.StartNewAsync();
        await UpgradeAsync(server.Connection, afterSteps);
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private async Task UpgradeAsync(string? connection, int afterSteps)
    {
        await using var store = Dialect.Choose(_folder, connection);
        await store.PrepareAsync(Cancel);
        await Migrator.UpgradeAsync(store, [.. Migrator.Scripts.Take(3)], Cancel);
        await FillAsync(store);
        string[] arguments = ["key", "list", "--data", _folder, .. connection is null ? Array.Empty<string>() : ["--database", connection]];

        using (var process = ServiceProcess.Launch(arguments))
        {
            while (!process.HasExited && Migrator.Scripts.Count - (await Migrator.PendingAsync(store, Cancel)).Count < afterSteps)
                await Task.Yield();
            process.Kill();
            await process.WaitForExitAsync(Cancel);
        }
        var left = (await Migrator.PendingAsync(store, Cancel)).Count;
        Assert.InRange(left, 0, Migrator.Scripts.Count - afterSteps);
        TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture, $"Killed with {left} of {Migrator.Scripts.Count} steps to go."));

        await ServiceProcess.RunAsync(arguments);

        Assert.Empty(await Migrator.PendingAsync(store, Cancel));
        var report = await StoreCheck.RunAsync(store, Cancel);
        Assert.Empty(report.Faults);
        Assert.Equal((Entries, 1), (report.Rows["audit"], report.Rows["yards"]));
        await using var open = await store.OpenAsync(Cancel);
        await using var count = open.CreateCommand();
        count.CommandText = "select count(*) from audit where yard_id is null";
        Assert.Equal(0L, await count.ExecuteScalarAsync(Cancel));
    }

    /// <summary>A yard and a trail of entries on it.</summary>
    private static async Task FillAsync(Dialect store)
    {
        const string yard = "0199f6c2-0000-7000-8000-000000000001";
        const string at = "2026-11-25T09:00:00.000Z";
        await using var connection = await store.OpenAsync(Cancel);
        await using var command = connection.CreateCommand();
        var number = store is SqliteDialect ? "printf('%012d', n)" : "lpad(n::text, 12, '0')";
        command.CommandText =
            $"""
            insert into yards (id, name, time_zone, closed_days, version, created_at) values ('{yard}', 'Larkfield', 'Europe/London', '[]', 1, '{at}');
            insert into audit (id, key_id, action, resource, resource_id, created_at)
            with recursive counted (n) as (select 1 union all select n + 1 from counted where n < {Entries})
            select '0199f6c2-0000-7000-8001-' || {number}, 'command-line', 'change', 'yard', '{yard}', '{at}' from counted
            """;
        await command.ExecuteNonQueryAsync(Cancel);
    }
}
