using System.Collections.Concurrent;
using BackTracker.Service.Http;
using BackTracker.Storage;

namespace BackTracker.Service.Features.Imports;

/// <summary>An import on its way, seen by those who ask how far it is.</summary>
internal sealed class ImportRun(string id, string keyId, ImportFormat format, DateTimeOffset startedAt)
{
    private readonly ConcurrentDictionary<string, long> _records = new();

    public string Id => id;

    public string KeyId => keyId;

    public ImportFormat Format => format;

    public ImportFaults Faults { get; } = new();

    public long Bytes { get; set; }

    public long BytesRead { get; set; }

    public long LinesRead { get; set; }

    public long Horses { get; set; }

    public long AlreadyThere { get; set; }

    public IReadOnlyList<long> AlreadyThereLines { get; set; } = [];

    public long RepeatAdvised { get; set; }

    /// <summary>Notes how many records of a kind are written.</summary>
    public void Note(string kind, long count) => _records[kind] = count;

    /// <summary>How it stands; while it runs its faults are only counted, for they are still being found.</summary>
    public ImportAnswer Answer(ImportState state) => new()
    {
        Id = Id,
        State = state,
        Format = format,
        Bytes = Bytes,
        BytesRead = BytesRead,
        LinesRead = LinesRead,
        Records = new SortedDictionary<string, long>(_records, StringComparer.Ordinal),
        Horses = Horses,
        AlreadyThere = AlreadyThere,
        AlreadyThereLines = state == ImportState.Running ? [] : AlreadyThereLines,
        RepeatAdvised = RepeatAdvised,
        Faults = state == ImportState.Running ? [] : Faults.First,
        FaultCount = Faults.Count,
        StartedAt = startedAt,
    };
}

/// <summary>The imports that run in this process.</summary>
/// <param name="clock">The time.</param>
internal sealed class ImportDesk(TimeProvider clock)
{
    private readonly ConcurrentDictionary<string, ImportRun> _runs = new();

    public ImportRun Begin(string keyId, ImportFormat format)
    {
        var now = clock.GetUtcNow();
        var run = new ImportRun(Ids.New(now), keyId, format, now);
        return _runs[run.Id] = run;
    }

    public void End(ImportRun run) => _runs.TryRemove(run.Id, out _);

    /// <summary>Those that a caller may see.</summary>
    public IReadOnlyList<ImportRun> SeenBy(Caller caller) =>
        [.. _runs.Values.Where(r => caller.Sight.EveryYard == 1 || r.KeyId == caller.KeyId).OrderBy(r => r.Id, StringComparer.Ordinal)];
}
