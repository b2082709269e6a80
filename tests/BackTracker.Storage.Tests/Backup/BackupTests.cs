using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Backup;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Tests.Harness;
using BackTracker.Storage.Yards;

namespace BackTracker.Storage.Tests.Backup;

public sealed class BackupTests
{
    private static readonly CancellationToken Cancel = CancellationToken.None;

    [Theory]
    [InlineData(StoreKind.Sqlite, StoreKind.Sqlite)]
    [InlineData(StoreKind.Sqlite, StoreKind.Postgres)]
    [InlineData(StoreKind.Postgres, StoreKind.Sqlite)]
    [InlineData(StoreKind.Postgres, StoreKind.Postgres)]
    public async Task Backup_underWrites_restoresOneMomentWithEqualContent(StoreKind from, StoreKind to)
    {
        await using var source = await OpenStore.CreateAsync(from);
        await Larkfield.FillAsync(source);
        var quiet = await OpenStore.DumpAsync(source.Dialect);
        var file = Path.Combine(source.Folder, "backup.db");

        await WhileWritingAsync(source, () => BackupFile.WriteAsync(source.Dialect, file, Cancel));
        await using var target = await OpenStore.CreateBareAsync(to);
        Assert.Null(await Restore.FromAsync(file, target.Dialect, RestoreMode.IntoEmpty, Cancel));

        await using var backup = SqliteDialect.ReadOnly(file);
        var restored = await OpenStore.DumpAsync(target.Dialect);
        Assert.Equal(await OpenStore.DumpAsync(backup), restored);
        Assert.Empty(quiet.Except(restored));
        Assert.Empty(restored.Except(await OpenStore.DumpAsync(source.Dialect)));
        Assert.Equal(await target.ListAsync("select count(*) from yards"), await target.ListAsync("select count(*) from audit"));
        await target.Database.PrepareAsync(Cancel);
        Assert.Empty((await StoreCheck.RunAsync(target.Dialect, Cancel)).Faults);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Backup_isOneFileAndNeverOverwrites(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await Larkfield.FillAsync(store);
        var folder = Directory.CreateDirectory(Path.Combine(store.Folder, "backups")).FullName;
        var file = Path.Combine(folder, "backup.db");

        await BackupFile.WriteAsync(store.Dialect, file, Cancel);
        var refusal = await Assert.ThrowsAsync<StorageException>(() => BackupFile.WriteAsync(store.Dialect, file, Cancel));

        Assert.Contains("exists already", refusal.Message, StringComparison.Ordinal);
        Assert.Equal([file], Directory.GetFiles(folder));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Restore_intoDataThatIsThere_needsToBeTold(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await Larkfield.FillAsync(store);
        var file = Path.Combine(store.Folder, "backup.db");
        await BackupFile.WriteAsync(store.Dialect, file, Cancel);
        var then = await OpenStore.DumpAsync(store.Dialect);
        await store.ExecuteAsync("update yards set name = 'Larkfield Hill'");
        var now = await OpenStore.DumpAsync(store.Dialect);

        var refusal = await Assert.ThrowsAsync<StorageException>(() => Restore.FromAsync(file, store.Dialect, RestoreMode.IntoEmpty, Cancel));
        Assert.Contains("--force", refusal.Message, StringComparison.Ordinal);
        Assert.Equal(now, await OpenStore.DumpAsync(store.Dialect));

        var aside = await Restore.FromAsync(file, store.Dialect, RestoreMode.Replace, Cancel);
        await using var restored = await ReopenAsync(store);
        Assert.Equal(then, await OpenStore.DumpAsync(restored));
        if (kind == StoreKind.Sqlite)
            Assert.Equal(now, await OpenStore.DumpAsync(SqliteDialect.ReadOnly(aside!)));
    }

    [Fact]
    public async Task Restore_overDamagedFile_bringsTheStoreBack()
    {
        await using var store = await OpenStore.CreateAsync(StoreKind.Sqlite);
        await Larkfield.FillAsync(store);
        var file = Path.Combine(store.Folder, "backup.db");
        await BackupFile.WriteAsync(store.Dialect, file, Cancel);
        var then = await OpenStore.DumpAsync(store.Dialect);
        await store.Dialect.DisposeAsync();
        await File.WriteAllTextAsync(Path.Combine(store.Folder, "backtracker.db"), new string('x', 9000), Cancel);
        var damaged = Dialect.Choose(store.Folder, null);

        await Assert.ThrowsAsync<StorageException>(() => Restore.FromAsync(file, damaged, RestoreMode.IntoEmpty, Cancel));
        await Restore.FromAsync(file, damaged, RestoreMode.Replace, Cancel);

        await using var restored = Dialect.Choose(store.Folder, null);
        Assert.Equal(then, await OpenStore.DumpAsync(restored));
    }

    [Theory]
    [InlineData("header")]
    [InlineData("middle")]
    [InlineData("other")]
    [InlineData("newer")]
    [InlineData("missing")]
    public async Task Restore_fileThatIsNoSoundBackup_isRefusedAndChangesNothing(string fault)
    {
        await using var store = await OpenStore.CreateAsync(StoreKind.Sqlite);
        await Larkfield.FillAsync(store);
        var file = Path.Combine(store.Folder, "backup.db");
        await BackupFile.WriteAsync(store.Dialect, file, Cancel);
        await SpoilAsync(file, fault);
        await using var target = await OpenStore.CreateBareAsync(StoreKind.Sqlite);

        var refusal = await Assert.ThrowsAsync<StorageException>(() => Restore.FromAsync(file, target.Dialect, RestoreMode.IntoEmpty, Cancel));

        var expected = fault switch { "other" => "no backup", "newer" => "newer version", "missing" => "There is no file", _ => "damaged" };
        Assert.Contains(expected, refusal.Message, StringComparison.Ordinal);
        Assert.Empty(Directory.GetFiles(target.Folder));
    }

    private static async Task SpoilAsync(string file, string fault)
    {
        if (fault is "other" or "newer")
            await OpenStore.ExecuteAsync(new SqliteDialect(file), fault == "other" ? "drop table schema_checksums" : "insert into schema_checksums (name, checksum) values ('9999_later.sql', 'x')");
        else if (fault == "missing")
            File.Delete(file);
        else
            Damage.Overwrite(file, fault == "header" ? 0 : 4096 * 3);
    }

    private static Task<Dialect> ReopenAsync(OpenStore store) =>
        Task.FromResult(store.Dialect is SqliteDialect ? Dialect.Choose(store.Folder, null) : store.Dialect);

    /// <summary>Runs something while yards are added, each with its audit entry in one transaction.</summary>
    private static async Task WhileWritingAsync(OpenStore store, Func<Task> runAsync)
    {
        using var stop = new CancellationTokenSource();
        var written = 0;
        var enough = new TaskCompletionSource();
        var writer = Task.Run(async () =>
        {
            while (!stop.IsCancellationRequested)
            {
                await AddYardAsync(store);
                if (++written == 20)
                    enough.SetResult();
            }
        }, Cancel);
        await Task.WhenAny(enough.Task, writer);
        await runAsync();
        await stop.CancelAsync();
        await writer;
    }

    private static async Task AddYardAsync(OpenStore store)
    {
        await using var session = await store.Database.WriteAsync("test", Cancel);
        var yard = new YardRow { Id = session.NewId(), Name = "Another", TimeZone = "Europe/London", CreatedAt = session.NowText };
        await YardStore.AddAsync(session, yard);
        await AuditStore.NoteAsync(session, "create", "yard", yard.Id);
        await session.CommitAsync();
    }
}
