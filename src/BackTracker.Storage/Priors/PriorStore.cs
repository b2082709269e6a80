using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Priors;

/// <summary>What was learned over horses in one round.</summary>
public sealed record PriorRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>Which round, from 1.</summary>
    public long Number { get; init; }

    /// <summary>Day of the round, UTC.</summary>
    public string LearnedOn { get; init; } = "";

    /// <summary>Version of the rules that learned it.</summary>
    public string EngineVersion { get; init; } = "";

    /// <summary>Horses that had something to say.</summary>
    public long Horses { get; init; }

    /// <summary>What was learned, as JSON.</summary>
    public string Body { get; init; } = "{}";

    /// <summary>When it was stored.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Rounds of learning; append-only.</summary>
public static class PriorStore
{
    private const string Columns = "id, number, learned_on, engine_version, horses, body, created_at";

    /// <summary>Id of the latest round up to a day; null before the first.</summary>
    public static Task<string?> LatestIdAsync(ReadSession session, string upTo) => session.FirstAsync<string>(
        "select id from priors where learned_on <= @upTo order by number desc limit 1", new { upTo });

    /// <summary>The latest round; null before the first.</summary>
    public static Task<PriorRow?> LatestAsync(ReadSession session) => session.FirstAsync<PriorRow>(
        $"select {Columns} from priors order by number desc limit 1");

    /// <summary>A round by its id.</summary>
    public static Task<PriorRow?> FindAsync(ReadSession session, string id) => session.FirstAsync<PriorRow>(
        $"select {Columns} from priors where id = @id", new { id });

    /// <summary>Adds a round.</summary>
    public static Task AddAsync(WriteSession session, PriorRow row) => session.ExecuteAsync(
        """
        insert into priors (id, number, learned_on, engine_version, horses, body, created_at)
        values (@Id, @Number, @LearnedOn, @EngineVersion, @Horses, @Body, @CreatedAt)
        """, row);
}
