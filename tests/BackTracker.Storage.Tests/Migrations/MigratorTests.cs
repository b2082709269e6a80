using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Migrations;
using BackTracker.Storage.Tests.Harness;
using DbUp.Engine;

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

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Prepare_laterStepThatIsAdditive_isGoneOnBeside_butNotCopied(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await Larkfield.FillAsync(store);
        await Migrator.UpgradeAsync(store.Dialect, [.. Migrator.Scripts, Later.Additive], Cancel);

        await store.Database.PrepareAsync(Cancel);

        Assert.Null(await Migrator.RefusalAsync(store.Dialect, Cancel));
        Assert.Empty(await Migrator.PendingAsync(store.Dialect, Cancel));
        await store.ExecuteAsync("insert into settings (name, value) values ('written', 'as before')");
        Assert.Equal(["later"], await store.ListAsync("select added from settings where name = 'written'"));
        // What it holds beside would be lost in a copy.
        Assert.Contains("9998_additive.sql", (await Assert.ThrowsAsync<StorageException>(() => Migrator.CheckAppliedAsync(store.Dialect, Cancel))).Message, StringComparison.Ordinal);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Refusal_laterStepThatIsNotAdditive_namesIt(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await Migrator.UpgradeAsync(store.Dialect, [.. Migrator.Scripts, Later.Additive, Later.Breaking], Cancel);

        Assert.Contains("9999_breaking.sql", (await Migrator.RefusalAsync(store.Dialect, Cancel))!.Message, StringComparison.Ordinal);
        await Assert.ThrowsAsync<StorageException>(() => store.Database.PrepareAsync(Cancel));
    }

    /// <summary>A step is noted with what it does: whoever is cut off at any instant finds noted what was done, and nothing else.</summary>
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Prepare_stepThatFails_leavesAllBeforeItDoneAndNoted(StoreKind kind)
    {
        await using var store = await OpenStore.CreateBareAsync(kind);

        await Assert.ThrowsAsync<StorageException>(() => Migrator.UpgradeAsync(store.Dialect, [.. Migrator.Scripts, Later.Additive, Later.Failing], Cancel));

        Assert.Equal([.. Migrator.Scripts.Select(s => s.Name), Later.Additive.Name], await store.ListAsync("select name from schema_checksums order by name"));
        await Assert.ThrowsAnyAsync<System.Data.Common.DbException>(() => store.ListAsync("select * from half_done"));
        await store.Database.PrepareAsync(Cancel);
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

    /// <summary>Steps that a later version may have.</summary>
    private static class Later
    {
        public static SqlScript Additive { get; } = new("9998_additive.sql", "-- additive: nobody has to know of it.\nalter table settings add column added text not null default 'later';\ncreate table more (id text primary key);");

        public static SqlScript Breaking { get; } = new("9999_breaking.sql", "alter table settings rename column value to held;");

        public static SqlScript Failing { get; } = new("9999_failing.sql", "create table half_done (id text primary key);\ninsert into nowhere (id) values ('x');");
    }
}
