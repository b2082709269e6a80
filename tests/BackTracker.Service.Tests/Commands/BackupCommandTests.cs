using BackTracker.Service.Tests.Harness;
using Microsoft.Data.Sqlite;

namespace BackTracker.Service.Tests.Commands;

public sealed class BackupCommandTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Backup_ofARunningService_verifiesAndRestoresElsewhere(StoreKind kind)
    {
        await using var served = await ServedFolder.StartAsync(kind);
        var admin = await served.AdminAsync();
        var yard = await admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        var shown = (await admin.GetAsync($"/v1/yards/{yard}")).Text;
        var file = Path.Combine(served.Folder, "backup.db");

        Assert.Empty((await served.RunAsync("backup", file)).ShouldSucceed().Output);
        Assert.Contains("yards\t1", (await CommandRun.OfAsync("verify", file)).ShouldSucceed().Lines);
        Assert.Contains("yards\t1", (await served.RunAsync("verify")).ShouldSucceed().Lines);
        (await served.RunAsync("restore", file, "--force")).ShouldFail(1, "Another BackTracker service is running");

        await using var elsewhere = await ServedFolder.EmptyAsync();
        (await elsewhere.RunAsync("restore", file)).ShouldSucceed();
        (await elsewhere.RunAsync("restore", file)).ShouldFail(1, "--force");
        await elsewhere.ServeAsync();
        Assert.Equal(shown, (await (await elsewhere.AdminAsync()).GetAsync($"/v1/yards/{yard}")).Text);
    }

    [Fact]
    public async Task Transfer_toPostgreSql_movesEveryRow()
    {
        await using var served = await ServedFolder.StartAsync();
        await (await served.AdminAsync()).MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        var file = Path.Combine(served.Folder, "backup.db");
        (await served.RunAsync("backup", file)).ShouldSucceed();
        await using var small = await ServedFolder.EmptyAsync();
        File.Copy(file, Path.Combine(small.Folder, "backtracker.db"));
        await using var server = await TestStore.CreateAsync(StoreKind.Postgres);

        (await small.RunAsync("transfer")).ShouldFail(2, "--database");
        (await served.RunAsync("transfer", "--database", server.Connection!)).ShouldFail(1, "Another BackTracker service is running");
        Assert.StartsWith("Every row is in the database.", (await small.RunAsync("transfer", "--database", server.Connection!)).ShouldSucceed().Output, StringComparison.Ordinal);

        var rows = (await small.RunAsync("verify", "--database", server.Connection!)).ShouldSucceed().Lines;
        Assert.Contains("yards\t1", rows);
        Assert.Equal((await CommandRun.OfAsync("verify", file)).ShouldSucceed().Lines, rows);
    }

    [Fact]
    public async Task Verify_plantedFaults_namesEachInALineAndFails()
    {
        await using var served = await ServedFolder.StartAsync();
        var yard = await (await served.AdminAsync()).MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        await using (var connection = new SqliteConnection($"Data Source={Path.Combine(served.Folder, "backtracker.db")};Pooling=False"))
        {
            await connection.OpenAsync(TestContext.Current.CancellationToken);
            await using var command = connection.CreateCommand();
            command.CommandText = "update yards set closed_days = '[', created_at = '2026'";
            await command.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
        }

        var run = await served.RunAsync("verify");

        Assert.Equal(1, run.ExitCode);
        var faults = run.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(2, faults.Length);
        Assert.All(faults, f => Assert.StartsWith($"yards {yard}: ", f, StringComparison.Ordinal));
    }

    [Fact]
    public async Task Verify_fileThatIsNoDatabase_fails()
    {
        await using var store = await ServedFolder.EmptyAsync();
        var file = Path.Combine(store.Folder, "backup.db");
        await File.WriteAllTextAsync(file, new string('x', 5000), TestContext.Current.CancellationToken);

        (await CommandRun.OfAsync("verify", file)).ShouldFail(1, "file is not a database");
        (await store.RunAsync("restore", file)).ShouldFail(1, "is damaged or is not a backup");
    }
}
