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

    /// <summary>What it is there for.</summary>
    public ServiceRole Role { get; init; }

    public Dialect Dialect() => Storage.Dialects.Dialect.Choose(DataFolder, Database);
}
