using BackTracker.Storage;

namespace BackTracker.Service.Observability;

/// <summary>How the log is written.</summary>
internal sealed record LogSettings
{
    private static readonly string[] Formats = [TextLine.FormatName, JsonLine.FormatName];

    /// <summary>"text" or "json": either way one line an entry.</summary>
    public string Format { get; init; } = TextLine.FormatName;

    /// <exception cref="StorageException">A value cannot be.</exception>
    public void Check()
    {
        if (!Formats.Contains(Format))
            throw new StorageException($"The setting Logs:Format cannot be {Format}: use {string.Join(" or ", Formats)}.");
    }

    /// <summary>Name of the formatter that writes so.</summary>
    public string Formatter => Format == JsonLine.FormatName ? JsonLine.FormatterName : TextLine.FormatterName;
}

/// <summary>Where metrics are fetched.</summary>
internal sealed record MetricsSettings
{
    /// <summary>A port on 127.0.0.1 that gives them without a key; 0 for none.</summary>
    public int Port { get; init; }

    /// <exception cref="StorageException">A value cannot be.</exception>
    public void Check()
    {
        if (Port is < 0 or > 65535)
            throw new StorageException($"The setting Metrics:Port cannot be {Port}: use a number from 1 to 65535, or 0 for none.");
    }
}
