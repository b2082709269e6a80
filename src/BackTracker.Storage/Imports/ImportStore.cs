using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Imports;

/// <summary>An import that is over, or that another instance is at.</summary>
public sealed record ImportRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The key that sent it, or a word for the service itself.</summary>
    public string KeyId { get; init; } = "";

    /// <summary>"done" or "refused"; "running" while it is not over.</summary>
    public string State { get; init; } = "";

    /// <summary>What is answered about it, as JSON.</summary>
    public string Body { get; init; } = "{}";

    /// <summary>When it was over; of one that runs, when that was last said.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Imports that are over, and where several instances share a store those that run. A key sees its own; one that reaches every yard sees all.</summary>
public static class ImportStore
{
    // Said every second: whoever has said nothing for so long is gone.
    private static readonly TimeSpan SilentFor = TimeSpan.FromSeconds(10);

    private const string Sees = "(@EveryYard = 1 or i.key_id = @keyId)";

    /// <summary>An import the caller may see.</summary>
    public static Task<ImportRow?> FindAsync(ReadSession session, Sight sight, string keyId, string id, DateTimeOffset now) => session.FirstAsync<ImportRow>(
        $"select i.id, i.key_id, i.state, i.body, i.created_at from imports i where i.id = @id and (i.state <> 'running' or i.created_at > @heard) and {Sees}",
        new { id, keyId, sight.EveryYard, heard = Instants.Write(now - SilentFor) });

    /// <summary>Imports the caller may see that are not over.</summary>
    public static Task<IReadOnlyList<ImportRow>> RunningAsync(ReadSession session, Sight sight, string keyId, DateTimeOffset now) => session.ListAsync<ImportRow>(
        $"select i.id, i.key_id, i.state, i.body, i.created_at from imports i where i.state = 'running' and i.created_at > @heard and {Sees} order by i.id",
        new { keyId, sight.EveryYard, heard = Instants.Write(now - SilentFor) });

    /// <summary>Imports the caller may see.</summary>
    public static async Task<Paged<ImportRow>> ListAsync(ReadSession session, Sight sight, string keyId, Page page) => Paged<ImportRow>.From(
        await session.ListAsync<ImportRow>(
            $"select i.id, i.key_id, i.state, i.body, i.created_at from imports i where i.id > @After and i.state <> 'running' and {Sees} order by i.id limit @LimitAndOne",
            new { keyId, sight.EveryYard, page.After, page.LimitAndOne }),
        page, i => i.Id);

    /// <summary>The latest imports the caller may see, the last first.</summary>
    public static Task<IReadOnlyList<ImportRow>> LatestAsync(ReadSession session, Sight sight, string keyId, int most) => session.ListAsync<ImportRow>(
        $"select i.id, i.key_id, i.state, i.body, i.created_at from imports i where i.state <> 'running' and {Sees} order by i.id desc limit @most", new { keyId, sight.EveryYard, most });

    /// <summary>Keeps what came of an import.</summary>
    public static Task AddAsync(WriteSession session, ImportRow import) => WriteAsync(session, import, "true");

    /// <summary>Says how far one is that is not over.</summary>
    public static Task NoteRunningAsync(WriteSession session, string id, string body) =>
        WriteAsync(session, new ImportRow { Id = id, State = "running", Body = body }, "imports.state = 'running'");

    /// <summary>Forgets one of which nothing is kept, and those whose instance is gone.</summary>
    public static Task ForgetRunningAsync(WriteSession session, string id) => session.ExecuteAsync(
        "delete from imports where state = 'running' and (id = @id or created_at < @heard)", new { id, heard = Instants.Write(session.Now - SilentFor) });

    private static Task<int> WriteAsync(WriteSession session, ImportRow import, string where) => session.ExecuteAsync(
        $"""
        insert into imports (id, key_id, state, body, created_at) values (@Id, @KeyId, @State, @Body, @now)
        on conflict (id) do update set state = @State, body = @Body, created_at = @now where {where}
        """,
        new { import.Id, KeyId = session.Actor, import.State, import.Body, now = session.NowText });
}
