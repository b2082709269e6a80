using System.Globalization;

namespace BackTracker.Benchmarks.Load;

/// <summary>What becomes of what the traffic records.</summary>
internal enum Recorded
{
    /// <summary>It stays: histories grow, and what looks at them takes longer.</summary>
    Stays,

    /// <summary>It is taken back at once: the herd stays as it is, so that nothing has a reason to take longer.</summary>
    IsTakenBack,
}

/// <summary>What traffic to make: `[HORSES...] [--minutes N] [--workers N] [--rate N] [--writes N] [--only KIND] [--database CONNECTION]`.</summary>
internal sealed record LoadOptions
{
    /// <summary>Herds, one after the other.</summary>
    public IReadOnlyList<int> Horses { get; init; } = [100, 1000, 10_000];

    /// <summary>How long each part takes.</summary>
    public TimeSpan Length { get; init; } = TimeSpan.FromMinutes(1);

    /// <summary>How many ask at once, each for the next thing when it has been answered.</summary>
    public int Workers { get; init; } = 16;

    /// <summary>Acts a second, whether or not earlier ones have been answered; 0 for as many as the workers get answered.</summary>
    public int Rate { get; init; }

    /// <summary>Measurements a second while it is timed how soon they are assessed.</summary>
    public int Writes { get; init; } = 50;

    /// <summary>The one kind of act to do, to see what it costs; empty for all.</summary>
    public string Only { get; init; } = "";

    /// <summary>A PostgreSQL server, on which a database of the run's own is made; null for SQLite.</summary>
    public string? Server { get; init; }

    /// <summary>What becomes of what is recorded.</summary>
    public Recorded Recorded { get; init; }

    public string StoreName => Server is null ? "SQLite" : "PostgreSQL";

    public static LoadOptions Parse(IReadOnlyList<string> arguments, LoadOptions usual)
    {
        var (options, horses) = (usual, new List<int>());
        for (var i = 0; i < arguments.Count; i++)
        {
            if (!arguments[i].StartsWith("--", StringComparison.Ordinal))
                horses.Add(Number(arguments[i]));
            else
                options = options.With(arguments[i], i + 1 < arguments.Count ? arguments[++i] : throw new ArgumentException($"{arguments[i]} needs a value."));
        }
        return horses.Count == 0 ? options : options with { Horses = horses };
    }

    private LoadOptions With(string name, string value) => name switch
    {
        "--minutes" => this with { Length = TimeSpan.FromMinutes(double.Parse(value, CultureInfo.InvariantCulture)) },
        "--workers" => this with { Workers = Number(value) },
        "--rate" => this with { Rate = Number(value) },
        "--writes" => this with { Writes = Number(value) },
        "--only" => this with { Only = value },
        "--database" => this with { Server = value },
        _ => throw new ArgumentException($"There is no option {name}: --minutes, --workers, --rate, --writes, --only, --database."),
    };

    private static int Number(string text) => int.Parse(text, CultureInfo.InvariantCulture);
}
