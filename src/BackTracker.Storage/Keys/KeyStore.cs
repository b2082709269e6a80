using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Keys;

/// <summary>An API key; the secret itself is never stored.</summary>
public sealed record KeyRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>What it is for, in the owner's words.</summary>
    public string Name { get; init; } = "";

    /// <summary>SHA-256 of the secret, lower-case hex. The secret has 256 random bits, so a plain hash is enough. Its own id once it was ended.</summary>
    public string SecretHash { get; init; } = "";

    /// <summary>Scopes as a JSON list.</summary>
    public string Scopes { get; init; } = "[]";

    /// <summary>1 where it reaches every yard.</summary>
    public int EveryYard { get; init; }

    /// <summary>The person who uses it.</summary>
    public string? PersonId { get; init; }

    /// <summary>Last day it works.</summary>
    public string? ExpiresOn { get; init; }

    /// <summary>When it was revoked, or will stop after a rotation.</summary>
    public string? RevokedAt { get; init; }

    /// <summary>Whether it opens anything at an instant.</summary>
    public bool WorksAt(DateTimeOffset now) =>
        !IsEnded && (RevokedAt is null || Instants.Read(RevokedAt) > now)
        && (ExpiresOn is null || Instants.ReadDay(ExpiresOn) >= DateOnly.FromDateTime(now.UtcDateTime));

    /// <summary>When it was last used, to the minute.</summary>
    public string? LastUsedAt { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was made.</summary>
    public string CreatedAt { get; init; } = "";

    /// <summary>The yards it reaches, parted by commas; empty where it reaches all.</summary>
    public string? Yards { get; init; }

    /// <summary>Whether somebody ended it, so that it never works again.</summary>
    public bool IsEnded => SecretHash == Id;

    /// <summary>The yards it reaches.</summary>
    public IReadOnlyList<string> YardIds => string.IsNullOrEmpty(Yards) ? [] : Yards.Split(',');
}

/// <summary>API keys.</summary>
public static class KeyStore
{
    private const string Columns =
        """
        k.id, k.name, k.secret_hash, k.scopes, k.every_yard, k.person_id, k.expires_on, k.revoked_at, k.last_used_at, k.version, k.created_at,
        (select string_agg(y.yard_id, ',') from api_key_yards y where y.key_id = k.id) as yards
        """;

    /// <summary>The key with this secret hash.</summary>
    public static Task<KeyRow?> FindByHashAsync(ReadSession session, string secretHash) =>
        session.FirstAsync<KeyRow>($"select {Columns} from api_keys k where k.secret_hash = @secretHash", new { secretHash });

    /// <summary>A key by id.</summary>
    public static Task<KeyRow?> FindAsync(ReadSession session, string id) =>
        session.FirstAsync<KeyRow>($"select {Columns} from api_keys k where k.id = @id", new { id });

    /// <summary>Keys that reach nothing beyond what the caller sees, in the order they were made.</summary>
    public static async Task<Paged<KeyRow>> ListAsync(ReadSession session, Sight sight, Page page) => Paged<KeyRow>.From(
        await session.ListAsync<KeyRow>(
            $"""
            select {Columns} from api_keys k
            where k.id > @After and (@EveryYard = 1 or k.every_yard = 0
                and not exists (select 1 from api_key_yards y where y.key_id = k.id and not {session.Among("y.yard_id", "Yards")}))
            order by k.id limit @LimitAndOne
            """, new { sight.EveryYard, sight.Yards, page.After, page.LimitAndOne }),
        page, k => k.Id);

    /// <summary>Adds a key and its yards.</summary>
    public static async Task AddAsync(WriteSession session, KeyRow key, IReadOnlyCollection<string> yardIds)
    {
        await session.ExecuteAsync(
            """
            insert into api_keys (id, name, secret_hash, scopes, every_yard, person_id, expires_on, version, created_at)
            values (@Id, @Name, @SecretHash, @Scopes, @EveryYard, @PersonId, @ExpiresOn, 1, @CreatedAt)
            """, key);
        foreach (var yardId in yardIds)
            await session.ExecuteAsync("insert into api_key_yards (key_id, yard_id) values (@Id, @yardId)", new { key.Id, yardId });
    }

    /// <summary>Ends a key, and the calendar addresses it has made: they are forgotten, so that no clock that is set back revives them.</summary>
    public static async Task RevokeAsync(WriteSession session, string id)
    {
        await StopAsync(session, id, session.Now);
        await session.ExecuteAsync("update api_keys set secret_hash = id where id = @id", new { id });
        await session.ExecuteAsync("delete from calendar_tokens where key_id = @id", new { id });
    }

    /// <summary>Stops a key from an instant on; an earlier stop stays.</summary>
    public static Task<int> StopAsync(WriteSession session, string id, DateTimeOffset from)
    {
        session.KeysChanged = true;
        return session.ExecuteAsync(
            "update api_keys set revoked_at = @at, version = version + 1 where id = @id and (revoked_at is null or revoked_at > @at)",
            new { id, at = Instants.Write(from) });
    }

    /// <summary>Notes that a key was used.</summary>
    public static Task TouchAsync(WriteSession session, string id) =>
        session.ExecuteAsync("update api_keys set last_used_at = @now where id = @id", new { id, now = session.NowText });
}
