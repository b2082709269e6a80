using BackTracker.Storage;
using BackTracker.Storage.Backup;

namespace BackTracker.Service.Hosting;

/// <summary>The backup of every night.</summary>
internal sealed record BackupSettings
{
    /// <summary>Whether there is one.</summary>
    public bool Nightly { get; init; } = true;

    /// <summary>From when on, UTC.</summary>
    public TimeOnly At { get; init; } = new(1, 30);

    /// <summary>Where it is written; empty for `backups` in the data folder.</summary>
    public string Folder { get; init; } = "";

    /// <summary>How many of the newest are kept.</summary>
    public int KeepDays { get; init; } = 14;

    /// <summary>In how many weeks back the newest of the week is kept.</summary>
    public int KeepWeeks { get; init; } = 8;

    /// <summary>In how many months back the newest of the month is kept.</summary>
    public int KeepMonths { get; init; } = 12;

    /// <summary>Which are kept.</summary>
    public Retention Retention => new(KeepDays, KeepWeeks, KeepMonths);

    /// <summary>The folder, given the data folder.</summary>
    public BackupFolder In(string dataFolder) => new(Folder.Length == 0 ? Path.Combine(dataFolder, "backups") : Folder);

    /// <exception cref="StorageException">A value cannot be.</exception>
    public void Check()
    {
        Check(nameof(KeepDays), KeepDays, 1);
        Check(nameof(KeepWeeks), KeepWeeks, 0);
        Check(nameof(KeepMonths), KeepMonths, 0);
    }

    private static void Check(string name, int value, int least)
    {
        if (value < least || value > 1000)
            throw new StorageException($"The setting Backups:{name} cannot be {value}: use a number from {least} to 1000.");
    }
}
