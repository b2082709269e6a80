using BackTracker.Storage.Dialects;
using BackTracker.Storage.Migrations;
using Microsoft.Data.Sqlite;

namespace BackTracker.Storage.Backup;

/// <summary>A backup: always one SQLite file, whichever database it was taken from.</summary>
public static class BackupFile
{
    /// <summary>Writes the store as it is at one moment; writers go on meanwhile. The file is whole or not there.</summary>
    /// <exception cref="StorageException">The file exists, its folder does not, or the store is not sound.</exception>
    public static async Task WriteAsync(Dialect store, string path, CancellationToken cancel)
    {
        if (File.Exists(path))
            throw new StorageException($"{path} exists already and is not overwritten. Name another file.");
        if (!Directory.Exists(Path.GetDirectoryName(Path.GetFullPath(path))))
            throw new StorageException($"There is no folder {Path.GetDirectoryName(Path.GetFullPath(path))} to write the backup to.");
        var unfinished = path + ".unfinished";
        File.Delete(unfinished);
        try
        {
            await RefuseOtherSchemaAsync(store, cancel);
            await (store is SqliteDialect ? VacuumIntoAsync(store, unfinished, cancel) : CopyIntoAsync(store, unfinished, cancel));
            await RefuseUnsoundAsync(unfinished, cancel);
            Flush(unfinished);
            File.Move(unfinished, path);
        }
        finally
        {
            File.Delete(unfinished);
        }
    }

    /// <exception cref="StorageException">The file is damaged, is no backup, or was written by a newer version.</exception>
    internal static async Task RefuseUnsoundAsync(string path, CancellationToken cancel)
    {
        if (!File.Exists(path))
            throw new StorageException($"There is no file {path}.");
        await using var file = SqliteDialect.ReadOnly(path);
        try
        {
            if (await file.IntegrityFaultsAsync(cancel) is [var fault, ..] faults)
                throw new StorageException($"{path} is damaged ({faults.Count} faults, the first: {fault}). Use an older backup.");
            await using (var connection = await file.OpenAsync(cancel))
                if (!await file.TableExistsAsync(connection, "schema_checksums", cancel))
                    throw new StorageException($"{path} is a database, but no backup of BackTracker.");
            await Migrator.CheckAppliedAsync(file, cancel);
        }
        catch (SqliteException error)
        {
            throw new StorageException($"{path} is damaged or is not a backup ({error.Message}).", error);
        }
    }

    private static async Task RefuseOtherSchemaAsync(Dialect store, CancellationToken cancel)
    {
        await Migrator.CheckAppliedAsync(store, cancel);
        if (store is not SqliteDialect && await Migrator.PendingAsync(store, cancel) is [var step, ..])
            throw new StorageException($"The database lacks schema step {step} of this version. Make the backup with the version that runs on it, or start this one once.");
    }

    private static async Task VacuumIntoAsync(Dialect store, string path, CancellationToken cancel)
    {
        await using var connection = await store.OpenAsync(cancel);
        await using var command = connection.CreateCommand();
        command.CommandText = "vacuum into @path";
        command.CommandTimeout = 0;
        command.Parameters.Add(new SqliteParameter("@path", path));
        await command.ExecuteNonQueryAsync(cancel);
    }

    private static async Task CopyIntoAsync(Dialect store, string path, CancellationToken cancel)
    {
        await using var file = new SqliteDialect(path);
        await Migrator.UpgradeAsync(file, cancel);
        await using var from = await store.OpenAsync(cancel);
        await using var reading = await store.BeginSnapshotAsync(from, cancel);
        await using var to = await file.BeginWriteAsync(cancel);
        await TableCopy.ReplaceAllAsync(reading, to.Transaction, cancel);
        await to.Transaction.CommitAsync(cancel);
    }

    private static void Flush(string path)
    {
        using var file = new FileStream(path, FileMode.Open, FileAccess.ReadWrite);
        file.Flush(flushToDisk: true);
    }
}
