using BackTracker.Storage.Dialects;
using BackTracker.Storage.Migrations;
using Microsoft.Data.Sqlite;

namespace BackTracker.Storage.Backup;

/// <summary>What becomes of data that is in the way of a restore.</summary>
public enum RestoreMode
{
    /// <summary>Nothing may be in the way.</summary>
    IntoEmpty,

    /// <summary>It is replaced.</summary>
    Replace,
}

/// <summary>Puts a backup back, into either database. Nothing else may use the store meanwhile.</summary>
public static class Restore
{
    /// <summary>Restores; either all of it or nothing.</summary>
    /// <returns>Where the file that was in the way has been put; null where there was none.</returns>
    /// <exception cref="StorageException">The backup is not sound, or the store is not empty.</exception>
    public static async Task<string?> FromAsync(string backup, Dialect store, RestoreMode mode, CancellationToken cancel)
    {
        await BackupFile.RefuseUnsoundAsync(backup, cancel);
        var folder = store is SqliteDialect { FilePath: var path } ? Path.GetDirectoryName(Path.GetFullPath(path))! : Path.GetTempPath();
        var work = Path.Combine(Directory.CreateDirectory(folder).FullName, $"restore-{Guid.NewGuid():N}.unfinished");
        try
        {
            File.Copy(backup, work);
            await using (var copy = new SqliteDialect(work))
            {
                await Migrator.UpgradeAsync(copy, cancel);
                if (store is not SqliteDialect)
                    await IntoServerAsync(copy, store, mode, cancel);
            }
            return store is SqliteDialect file ? await IntoFileAsync(work, file, mode, cancel) : null;
        }
        finally
        {
            File.Delete(work);
        }
    }

    private static async Task<string?> IntoFileAsync(string work, SqliteDialect store, RestoreMode mode, CancellationToken cancel)
    {
        if (mode == RestoreMode.IntoEmpty && File.Exists(store.FilePath) && !await IsEmptyAsync(store, cancel))
            throw InTheWay(store.FilePath);
        await store.DisposeAsync();
        var aside = PutAside(store.FilePath);
        using (var file = new FileStream(work, FileMode.Open, FileAccess.ReadWrite))
            file.Flush(flushToDisk: true);
        File.Move(work, store.FilePath);
        return aside;
    }

    /// <summary>
    /// The old file is kept with its log: even a damaged one may be all that is left of the last hours. A log whose file was taken away is kept too:
    /// it would be taken for the new file's.
    /// </summary>
    private static string? PutAside(string path)
    {
        if (!File.Exists(path) && !File.Exists(path + "-wal"))
            return null;
        var number = 1;
        while (File.Exists($"{path}.replaced-{number}") || File.Exists($"{path}.replaced-{number}-wal"))
            number++;
        var aside = $"{path}.replaced-{number}";
        foreach (var part in new[] { "", "-wal" })
            if (File.Exists(path + part))
                File.Move(path + part, aside + part);
        File.Delete(path + "-shm");
        return aside;
    }

    private static async Task IntoServerAsync(SqliteDialect copy, Dialect store, RestoreMode mode, CancellationToken cancel)
    {
        await store.PrepareAsync(cancel);
        await Migrator.UpgradeAsync(store, cancel);
        if (mode == RestoreMode.IntoEmpty && !await IsEmptyAsync(store, cancel))
            throw InTheWay("The database");
        await using var from = await copy.OpenAsync(cancel);
        await using var reading = await from.BeginTransactionAsync(cancel);
        await using var to = await store.BeginWriteAsync(cancel);
        await TableCopy.ReplaceAllAsync(reading, to.Transaction, cancel);
        await to.Transaction.CommitAsync(cancel);
    }

    private static async Task<bool> IsEmptyAsync(Dialect store, CancellationToken cancel)
    {
        try
        {
            await using var connection = await store.OpenAsync(cancel);
            foreach (var table in StoreTables.InOrder)
            {
                if (!await store.TableExistsAsync(connection, table, cancel))
                    continue;
                await using var command = connection.CreateCommand();
                command.CommandText = $"select 1 from {table} limit 1";
                if (await command.ExecuteScalarAsync(cancel) is not null)
                    return false;
            }
            return true;
        }
        catch (Exception error) when (error is SqliteException or StorageException)
        {
            return false; // Damaged: not for this method to decide that nothing worth keeping is in it.
        }
    }

    private static StorageException InTheWay(string what) =>
        new($"{what} holds data already. Restore into an empty one, or say --force to replace what is there.");
}
