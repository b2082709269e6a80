using System.Globalization;

namespace BackTracker.Faults;

/// <summary>A clock that is set while the service runs by it (libfaketime); what is measured without a calendar goes on evenly.</summary>
internal sealed class SetClock
{
    private readonly string _file;
    private readonly string _library;
    private TimeSpan _ahead;

    private SetClock(string library, string file) => (_library, _file) = (library, file);

    /// <summary>What it shows.</summary>
    public DateTimeOffset Now => DateTimeOffset.UtcNow + _ahead;

    /// <summary>What has a process go by it.</summary>
    public IReadOnlyDictionary<string, string> Settings => new Dictionary<string, string>(ServiceProcess.LoopbackAllowed)
    {
        ["LD_PRELOAD"] = _library,
        ["FAKETIME_TIMESTAMP_FILE"] = _file,
        ["FAKETIME_CACHE_DURATION"] = "1",
        ["FAKETIME_DONT_FAKE_MONOTONIC"] = "1",
    };

    /// <summary>One kept in a file; the test is skipped where there is none.</summary>
    public static SetClock In(string file)
    {
        var library = Environment.GetEnvironmentVariable("BACKTRACKER_TEST_FAKETIME");
        Assert.SkipWhen(string.IsNullOrEmpty(library), "No libfaketime was named; scripts/with-fault-tools names one.");
        return new SetClock(library!, file);
    }

    public void Set(DateTimeOffset now)
    {
        _ahead = now - DateTimeOffset.UtcNow;
        File.WriteAllText(_file + ".new", string.Create(CultureInfo.InvariantCulture, $"{_ahead.TotalSeconds:+0.000;-0.000}\n"));
        File.Move(_file + ".new", _file, overwrite: true);
    }
}
