using BackTracker.Storage.Dialects;

namespace BackTracker.Service.Hosting;

/// <summary>Where the service keeps its data and where it listens.</summary>
internal sealed record ServeOptions
{
    /// <summary>The data folder.</summary>
    public required string DataFolder { get; init; }

    /// <summary>PostgreSQL connection string; null for SQLite in the data folder.</summary>
    public string? Database { get; init; }

    /// <summary>Port to listen at; 0 for any that is free.</summary>
    public int Port { get; init; } = 5280;

    /// <summary>Where it listens otherwise, and how keys stay private on the way.</summary>
    public Transport Transport { get; init; } = new();

    /// <summary>What the operator has set.</summary>
    public Settings Settings { get; init; } = new();

    /// <summary>Whether jobs run by themselves.</summary>
    public JobMode Jobs { get; init; } = JobMode.Run;

    public Dialect Dialect() => Storage.Dialects.Dialect.Choose(DataFolder, Database);
}

/// <summary>Whether the service does its background work.</summary>
internal enum JobMode
{
    /// <summary>Jobs run.</summary>
    Run,

    /// <summary>Nothing runs by itself; whoever replays the past calls the handlers.</summary>
    Rest,
}
