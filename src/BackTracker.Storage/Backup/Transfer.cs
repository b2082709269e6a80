using BackTracker.Storage.Dialects;
using BackTracker.Storage.Migrations;

namespace BackTracker.Storage.Backup;

/// <summary>Moves an installation from its SQLite file to a PostgreSQL database. The file is left as it was.</summary>
public static class Transfer
{
    /// <summary>Copies everything and holds every row of the copy against the file.</summary>
    /// <param name="file">The store; nothing else may use it.</param>
    /// <param name="server">An empty database.</param>
    /// <param name="cancel">Ends it; the database then stays empty.</param>
    /// <exception cref="StorageException">The file is not sound, the database is not empty, or a row is not the same in both.</exception>
    public static async Task RunAsync(SqliteDialect file, Dialect server, CancellationToken cancel)
    {
        var copy = $"{file.FilePath}.transfer-{Guid.NewGuid():N}";
        try
        {
            await BackupFile.WriteAsync(file, copy, cancel);
            await using var upgraded = new SqliteDialect(copy);
            await Migrator.UpgradeAsync(upgraded, cancel);
            await Restore.FromAsync(copy, server, RestoreMode.IntoEmpty, cancel);
            if (await StoreComparison.DifferencesAsync(upgraded, server, cancel) is { Count: > 0 } differences)
                throw new StorageException($"Not every row is the same in the database: {string.Join(", ", differences)}. Do not use it; the file was left as it was.");
        }
        finally
        {
            File.Delete(copy);
            File.Delete(copy + "-wal");
            File.Delete(copy + "-shm");
        }
    }
}
