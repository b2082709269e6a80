using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Migrations;
using BackTracker.Storage.Tests.Harness;

namespace BackTracker.Storage.Tests.Migrations;

public sealed class MigratorTests
{
    private static readonly CancellationToken Cancel = CancellationToken.None;

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Prepare_again_changesNothing(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await Larkfield.FillAsync(store);
        var before = await OpenStore.DumpAsync(store.Dialect);
        var steps = await store.ListAsync("select name, checksum from schema_checksums order by name");

        await store.Database.PrepareAsync(Cancel);

        Assert.Equal(before, await OpenStore.DumpAsync(store.Dialect));
        Assert.Equal(steps, await store.ListAsync("select name, checksum from schema_checksums order by name"));
        Assert.Equal(Migrator.Scripts.Count, steps.Count);
        Assert.Empty(await Migrator.PendingAsync(store.Dialect, Cancel));
    }

    /// <summary>Several instances may start on one server; on a folder only one runs.</summary>
    [Fact]
    public async Task Prepare_twiceAtOnceOnAServer_makesOneSchema()
    {
        await using var store = await OpenStore.CreateBareAsync(StoreKind.Postgres);

        await Task.WhenAll(store.Database.PrepareAsync(Cancel), store.Database.PrepareAsync(Cancel));

        Assert.Empty(await Migrator.PendingAsync(store.Dialect, Cancel));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Prepare_stepChangedAfterwards_isRefused(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await store.ExecuteAsync("update schema_checksums set checksum = 'other'");

        var refusal = await Assert.ThrowsAsync<StorageException>(() => store.Database.PrepareAsync(Cancel));

        Assert.Contains("was changed after it had been applied", refusal.Message, StringComparison.Ordinal);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Prepare_stepOfNewerVersion_isRefused(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await store.ExecuteAsync("insert into schema_checksums (name, checksum) values ('9999_later.sql', 'x')");

        var refusal = await Assert.ThrowsAsync<StorageException>(() => store.Database.PrepareAsync(Cancel));

        Assert.Contains("newer version", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Prepare_fileThatIsNoDatabase_isRefusedAndLeftAlone()
    {
        await using var store = await OpenStore.CreateBareAsync(StoreKind.Sqlite);
        var path = Path.Combine(store.Folder, "backtracker.db");
        var content = string.Concat(Enumerable.Repeat("no database. ", 1000));
        await File.WriteAllTextAsync(path, content, Cancel);

        var refusal = await Assert.ThrowsAsync<StorageException>(() => store.Database.PrepareAsync(Cancel));

        Assert.Contains("backtracker restore", refusal.Message, StringComparison.Ordinal);
        Assert.Equal(content, await File.ReadAllTextAsync(path, Cancel));
    }
}
