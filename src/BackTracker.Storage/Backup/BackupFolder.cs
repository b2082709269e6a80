using System.Globalization;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Backup;

/// <summary>The folder in which every night leaves a backup.</summary>
/// <param name="path">The folder; made when the first backup is.</param>
public sealed class BackupFolder(string path)
{
    private const string Prefix = "backtracker-";
    private const string Suffix = ".db";
    private const string Day = "yyyy-MM-dd";

    /// <summary>Nights of which there is a backup.</summary>
    public IReadOnlyList<DateOnly> Nights => !Directory.Exists(path) ? [] :
        [.. Directory.EnumerateFiles(path, $"{Prefix}*{Suffix}").Select(file => NightOf(Path.GetFileName(file))).OfType<DateOnly>().Order()];

    /// <summary>Where the backup of a night is.</summary>
    public string FileOf(DateOnly night) => Path.Combine(path, string.Create(CultureInfo.InvariantCulture, $"{Prefix}{night:yyyy-MM-dd}{Suffix}"));

    /// <summary>Writes the backup of a night, unless it is there.</summary>
    /// <exception cref="StorageException">It could not be written, or the store is not sound.</exception>
    public async Task WriteAsync(Dialect store, DateOnly night, CancellationToken cancel)
    {
        Directory.CreateDirectory(path);
        if (!File.Exists(FileOf(night)))
            await BackupFile.WriteAsync(store, FileOf(night), cancel);
    }

    /// <summary>Takes away the backups that are kept no longer.</summary>
    public void Thin(Retention retention)
    {
        foreach (var night in retention.Surplus(Nights))
            File.Delete(FileOf(night));
    }

    /// <summary>Restores the backup of a night into a new file beside it, brings that to the schema of this version, and opens it.</summary>
    /// <returns>How many yards are in it.</returns>
    /// <exception cref="StorageException">The backup is not sound.</exception>
    public async Task<long> TryRestoreAsync(DateOnly night, CancellationToken cancel)
    {
        var tried = Directory.CreateDirectory(Path.Combine(path, $"restored-{Guid.NewGuid():N}")).FullName;
        try
        {
            await using var dialect = new SqliteDialect(Path.Combine(tried, "backtracker.db"));
            await Restore.FromAsync(FileOf(night), dialect, RestoreMode.IntoEmpty, cancel);
            var database = new Database(dialect, TimeProvider.System);
            await database.PrepareAsync(cancel);
            await using var session = await database.ReadAsync(cancel);
            return await session.FirstAsync<long>("select count(*) from yards");
        }
        finally
        {
            Directory.Delete(tried, recursive: true);
        }
    }

    private static DateOnly? NightOf(string file) =>
        DateOnly.TryParseExact(file[Prefix.Length..^Suffix.Length], Day, CultureInfo.InvariantCulture, DateTimeStyles.None, out var night) ? night : null;
}
