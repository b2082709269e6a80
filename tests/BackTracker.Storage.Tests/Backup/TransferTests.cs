using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Backup;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Tests.Harness;

namespace BackTracker.Storage.Tests.Backup;

public sealed class TransferTests
{
    private static readonly CancellationToken Cancel = CancellationToken.None;

    [Fact]
    public async Task Run_movesEveryRowToPostgreSql_andLeavesTheFileAsItWas()
    {
        await using var file = await OpenStore.CreateAsync(StoreKind.Sqlite);
        await Larkfield.FillAsync(file);
        var before = await OpenStore.DumpAsync(file.Dialect);
        await using var server = await OpenStore.CreateBareAsync(StoreKind.Postgres);

        await Transfer.RunAsync((SqliteDialect)file.Dialect, server.Dialect, Cancel);

        Assert.Equal(before, await OpenStore.DumpAsync(server.Dialect));
        Assert.Equal(before, await OpenStore.DumpAsync(file.Dialect));
        Assert.DoesNotContain(Directory.GetFiles(file.Folder), left => left.Contains("transfer", StringComparison.Ordinal));
        Assert.Empty((await StoreCheck.RunAsync(server.Dialect, Cancel)).Faults);
    }

    [Fact]
    public async Task Run_intoADatabaseWithData_isRefused()
    {
        await using var file = await OpenStore.CreateAsync(StoreKind.Sqlite);
        await Larkfield.FillAsync(file);
        await using var server = await OpenStore.CreateAsync(StoreKind.Postgres);
        await Larkfield.FillAsync(server);

        await Assert.ThrowsAsync<StorageException>(() => Transfer.RunAsync((SqliteDialect)file.Dialect, server.Dialect, Cancel));
    }

    /// <summary>What PostgreSQL itself changes on the way in is noticed: a rule of the database that writes another name than was sent.</summary>
    [Fact]
    public async Task Run_whereARowArrivesChanged_namesTheTable()
    {
        await using var file = await OpenStore.CreateAsync(StoreKind.Sqlite);
        await Larkfield.FillAsync(file);
        await using var server = await OpenStore.CreateAsync(StoreKind.Postgres);
        await server.ExecuteAsync("create function spoil() returns trigger language plpgsql as 'begin new.name := new.name || ''.''; return new; end'");
        await server.ExecuteAsync("create trigger spoil before insert on yards for each row execute function spoil()");
        await server.ExecuteAsync("delete from settings");

        var refusal = await Assert.ThrowsAsync<StorageException>(() => Transfer.RunAsync((SqliteDialect)file.Dialect, server.Dialect, Cancel));

        Assert.Matches(@"Not every row is the same in the database: yards \(\d+ rows and \d+\)\.", refusal.Message);
    }
}
