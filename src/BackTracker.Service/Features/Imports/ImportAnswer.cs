namespace BackTracker.Service.Features.Imports;

/// <summary>In what a file is written.</summary>
public enum ImportFormat
{
    /// <summary>text/csv: measurements, a line a width.</summary>
    Csv,

    /// <summary>application/x-ndjson: any records, one a line, as an export has them.</summary>
    Ndjson,
}

/// <summary>Where an import is.</summary>
public enum ImportState
{
    /// <summary>It is being received, looked through or written.</summary>
    Running,

    /// <summary>All of it is recorded.</summary>
    Done,

    /// <summary>All of it could be recorded; nothing was, because that was only asked.</summary>
    Checked,

    /// <summary>It has faults, and nothing of it was recorded.</summary>
    Refused,
}

/// <summary>An import, while it runs and when it is over.</summary>
public sealed record ImportAnswer
{
    /// <summary>Id.</summary>
    public required string Id { get; init; }

    /// <summary>Where it is.</summary>
    public required ImportState State { get; init; }

    /// <summary>In what the file is written.</summary>
    public required ImportFormat Format { get; init; }

    /// <summary>Size of the file; while it is received, what has come so far.</summary>
    public required long Bytes { get; init; }

    /// <summary>How much of it has been looked through.</summary>
    public required long BytesRead { get; init; }

    /// <summary>How many lines that are.</summary>
    public required long LinesRead { get; init; }

    /// <summary>Records recorded, or that would be, by kind.</summary>
    public required IReadOnlyDictionary<string, long> Records { get; init; }

    /// <summary>Horses whose measurements they are.</summary>
    public required long Horses { get; init; }

    /// <summary>Records that were there already, the same, and have been left alone.</summary>
    public required long AlreadyThere { get; init; }

    /// <summary>Lines of the first hundred of those.</summary>
    public required IReadOnlyList<long> AlreadyThereLines { get; init; }

    /// <summary>Measurements that are better taken again, as their advice says.</summary>
    public required long RepeatAdvised { get; init; }

    /// <summary>Faults by line, the first hundred.</summary>
    public required IReadOnlyList<ImportFault> Faults { get; init; }

    /// <summary>All faults, also those that are not listed.</summary>
    public required long FaultCount { get; init; }

    /// <summary>When it began.</summary>
    public required DateTimeOffset StartedAt { get; init; }
}
