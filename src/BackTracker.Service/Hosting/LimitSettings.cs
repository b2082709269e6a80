using BackTracker.Storage;

namespace BackTracker.Service.Hosting;

/// <summary>How much of the service one caller may take.</summary>
internal sealed record LimitSettings
{
    /// <summary>Requests a key may make within a minute.</summary>
    public int RequestsPerMinute { get; init; } = 30_000;

    /// <summary>Tries with no valid key that one address may make within a minute.</summary>
    public int FailedTriesPerMinute { get; init; } = 600;

    /// <summary>Connections held open at once.</summary>
    public int Connections { get; init; } = 1000;

    /// <summary>How long the head of a request may take to arrive.</summary>
    public int HeaderSeconds { get; init; } = 15;

    /// <summary>The slowest a body may come once it has had five seconds.</summary>
    public int BodyBytesPerSecond { get; init; } = 240;

    /// <summary>The slowest an answer may be taken.</summary>
    public int AnswerBytesPerSecond { get; init; } = 1000;

    /// <summary>Largest file that is imported over the API, MiB.</summary>
    public int ImportMiB { get; init; } = 64;

    /// <summary>The same in bytes.</summary>
    public long ImportBytes => (long)ImportMiB << 20;

    /// <exception cref="StorageException">A value cannot be.</exception>
    public void Check()
    {
        Check(nameof(RequestsPerMinute), RequestsPerMinute, 1_000_000_000);
        Check(nameof(FailedTriesPerMinute), FailedTriesPerMinute, 1_000_000_000);
        Check(nameof(Connections), Connections, 100_000);
        Check(nameof(HeaderSeconds), HeaderSeconds, 600);
        Check(nameof(BodyBytesPerSecond), BodyBytesPerSecond, 1_000_000);
        Check(nameof(AnswerBytesPerSecond), AnswerBytesPerSecond, 1_000_000);
        Check(nameof(ImportMiB), ImportMiB, 4096);
    }

    private static void Check(string name, int value, int most)
    {
        if (value < 1 || value > most)
            throw new StorageException($"The setting Limits:{name} cannot be {value}: use a number from 1 to {most}.");
    }
}
