using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Idempotency;

/// <summary>The answer that was given to a key the first time.</summary>
public sealed record StoredAnswer
{
    /// <summary>What was asked: hash of method, path and body.</summary>
    public string Fingerprint { get; init; } = "";

    /// <summary>HTTP status.</summary>
    public int Status { get; init; }

    /// <summary>Location header.</summary>
    public string? Location { get; init; }

    /// <summary>ETag header.</summary>
    public string? Etag { get; init; }

    /// <summary>Body, without any secret.</summary>
    public string? Body { get; init; }
}

/// <summary>Remembers answers by idempotency key, in the transaction of what they report.</summary>
public static class IdempotencyStore
{
    /// <summary>The answer given before to this key of this caller; null the first time. A repeat that comes while the first is still being done waits for it.</summary>
    public static async Task<StoredAnswer?> FindAsync(WriteSession session, string key)
    {
        await session.WaitForAsync($"idempotency {session.Actor} {key}");
        return await session.FirstAsync<StoredAnswer>(
            "select fingerprint, status, location, etag, body from idempotency where key_id = @actor and idempotency_key = @key",
            new { actor = session.Actor, key });
    }

    /// <summary>Keeps an answer.</summary>
    public static Task SaveAsync(WriteSession session, string key, StoredAnswer answer) => session.ExecuteAsync(
        """
        insert into idempotency (key_id, idempotency_key, fingerprint, status, location, etag, body, created_at)
        values (@actor, @key, @Fingerprint, @Status, @Location, @Etag, @Body, @now)
        """,
        new { actor = session.Actor, key, answer.Fingerprint, answer.Status, answer.Location, answer.Etag, answer.Body, now = session.NowText });

    /// <summary>Forgets answers older than 48 hours.</summary>
    public static Task<int> ForgetOldAsync(WriteSession session) => session.ExecuteAsync(
        "delete from idempotency where created_at < @before",
        new { before = Instants.Write(session.Now.AddHours(-48)) });
}
