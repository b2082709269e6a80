using System.Data.Common;
using BackTracker.Service.Hosting;
using BackTracker.Service.Observability;
using BackTracker.Storage;
using BackTracker.Storage.Backup;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Settings;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Jobs;

/// <summary>What came of a look at the backups.</summary>
internal enum BackupOutcome
{
    /// <summary>It is not time, or there is nothing to keep yet.</summary>
    NotDue,

    /// <summary>A backup was made.</summary>
    Made,

    /// <summary>The same, and it was restored to see that it can be.</summary>
    Tried,

    /// <summary>It could not be made.</summary>
    Failed,

    /// <summary>One was made and could not be restored.</summary>
    Unsound,
}

/// <summary>
/// Once a night the store is written into the folder of backups, and once a week the newest of them is restored, since a backup nobody has ever
/// restored is a hope. The nights that were done are stored with the records: a night of downtime is made up for at the next start.
/// </summary>
internal sealed partial class BackupRound(Database database, Dialect store, ServeOptions options, TimeProvider clock, ILogger<BackupRound> log)
{
    private const string BackedUpOn = "backed-up-on";
    private const string TriedOn = "backup-tried-on";
    private const int DaysBetweenTries = 7;

    private BackupSettings Settings => options.Settings.Backups;

    /// <summary>Makes the backup of the night that has come, if it is not there yet.</summary>
    public async Task<BackupOutcome> LookAsync(CancellationToken cancel)
    {
        var night = Night();
        if (!Settings.Nightly || !await IsDueAsync(night, cancel))
            return BackupOutcome.NotDue;
        var outcome = await MakeAsync(night, cancel);
        Measured.Backup(outcome);
        return outcome;
    }

    private async Task<BackupOutcome> MakeAsync(DateOnly night, CancellationToken cancel)
    {
        var folder = Settings.In(options.DataFolder);
        try
        {
            await folder.WriteAsync(store, night, cancel);
            await NoteAsync(BackedUpOn, night, cancel);
            folder.Thin(Settings.Retention);
        }
        catch (Exception error) when (error is StorageException or DbException or IOException or UnauthorizedAccessException)
        {
            LogFailed(error.Message);
            return BackupOutcome.Failed;
        }
        return await TryAsync(folder, night, cancel);
    }

    private async Task<BackupOutcome> TryAsync(BackupFolder folder, DateOnly night, CancellationToken cancel)
    {
        if (await IsTriedAsync(night, cancel))
            return BackupOutcome.Made;
        try
        {
            var yards = await folder.TryRestoreAsync(night, cancel);
            await NoteAsync(TriedOn, night, cancel);
            LogTried(folder.FileOf(night), yards);
            return BackupOutcome.Tried;
        }
        catch (Exception error) when (error is StorageException or DbException or IOException or UnauthorizedAccessException)
        {
            LogUnsound(folder.FileOf(night), error.Message);
            return BackupOutcome.Unsound;
        }
    }

    /// <summary>The night that has come last.</summary>
    private DateOnly Night()
    {
        var now = clock.GetUtcNow().UtcDateTime;
        var day = DateOnly.FromDateTime(now);
        return TimeOnly.FromDateTime(now) >= Settings.At ? day : day.AddDays(-1);
    }

    private async Task<bool> IsDueAsync(DateOnly night, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        return Instants.ReadDayIfAny(await SettingStore.FindAsync(session, BackedUpOn)) != night && (await YardStore.AllAsync(session)).Count > 0;
    }

    private async Task<bool> IsTriedAsync(DateOnly night, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        return Instants.ReadDayIfAny(await SettingStore.FindAsync(session, TriedOn)) is { } tried && tried <= night && tried > night.AddDays(-DaysBetweenTries);
    }

    private async Task NoteAsync(string what, DateOnly night, CancellationToken cancel)
    {
        await using var session = await database.WriteAsync("backup", cancel);
        await SettingStore.SetAsync(session, what, Instants.WriteDay(night));
        await session.CommitAsync();
    }

    [LoggerMessage(Level = LogLevel.Error, Message = "The backup of the night could not be made and is tried again in a quarter of an hour: {Why}")]
    private partial void LogFailed(string why);

    [LoggerMessage(Level = LogLevel.Information, Message = "The backup {File} was restored to see that it can be: {Yards} yards")]
    private partial void LogTried(string file, long yards);

    [LoggerMessage(Level = LogLevel.Error, Message = "The backup {File} cannot be restored; the next one is tried again: {Why}")]
    private partial void LogUnsound(string file, string why);
}
