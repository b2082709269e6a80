using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Imports;

/// <summary>An import that is over.</summary>
public sealed record ImportRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The key that sent it, or a word for the service itself.</summary>
    public string KeyId { get; init; } = "";

    /// <summary>"done" or "refused".</summary>
    public string State { get; init; } = "";

    /// <summary>What is answered about it, as JSON.</summary>
    public string Body { get; init; } = "{}";

    /// <summary>When it was over.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Imports that are over. A key sees its own; one that reaches every yard sees all.</summary>
public static class ImportStore
{
    private const string Sees = "(@EveryYard = 1 or i.key_id = @keyId)";

    /// <summary>An import the caller may see.</summary>
    public static Task<ImportRow?> FindAsync(ReadSession session, Sight sight, string keyId, string id) => session.FirstAsync<ImportRow>(
        $"select i.id, i.key_id, i.state, i.body, i.created_at from imports i where i.id = @id and {Sees}", new { id, keyId, sight.EveryYard });

    /// <summary>Imports the caller may see.</summary>
    public static async Task<Paged<ImportRow>> ListAsync(ReadSession session, Sight sight, string keyId, Page page) => Paged<ImportRow>.From(
        await session.ListAsync<ImportRow>(
            $"select i.id, i.key_id, i.state, i.body, i.created_at from imports i where i.id > @After and {Sees} order by i.id limit @LimitAndOne",
            new { keyId, sight.EveryYard, page.After, page.LimitAndOne }),
        page, i => i.Id);

    /// <summary>The latest imports the caller may see, the last first.</summary>
    public static Task<IReadOnlyList<ImportRow>> LatestAsync(ReadSession session, Sight sight, string keyId, int most) => session.ListAsync<ImportRow>(
        $"select i.id, i.key_id, i.state, i.body, i.created_at from imports i where {Sees} order by i.id desc limit @most", new { keyId, sight.EveryYard, most });

    /// <summary>Keeps what came of an import.</summary>
    public static Task AddAsync(WriteSession session, ImportRow import) => session.ExecuteAsync(
        "insert into imports (id, key_id, state, body, created_at) values (@Id, @KeyId, @State, @Body, @now)",
        new { import.Id, KeyId = session.Actor, import.State, import.Body, now = session.NowText });
}
