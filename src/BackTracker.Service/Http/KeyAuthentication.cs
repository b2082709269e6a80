using System.Collections.Concurrent;
using BackTracker.Service.Pages;
using BackTracker.Storage.Keys;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Http;

/// <summary>Finds out who asks, whether they ask too often, and whether the route's scope is among theirs.</summary>
internal sealed class KeyAuthentication(RequestDelegate next, Database database, KnownKeys keys, TimeProvider clock, RateLimits limits)
{
    private static readonly TimeSpan TouchEvery = TimeSpan.FromMinutes(1);
    private readonly ConcurrentDictionary<string, DateTimeOffset> _touched = new();

    public async Task InvokeAsync(HttpContext http)
    {
        if (http.GetEndpoint()?.Metadata.GetMetadata<NeedsScope>() is { } needs)
        {
            var isPage = http.GetEndpoint()!.Metadata.GetMetadata<IsPage>() is not null;
            var caller = isPage ? await OfCookieAsync(http) : await OfHeaderAsync(http);
            limits.CountRequest(http, caller.KeyId);
            await TouchAsync(caller.KeyId);
            if (!needs.AnyOf.Any(caller.May))
                throw new ProblemException(ProblemKind.WrongScope, isPage ? "Your key does not allow that: ask whoever runs BackTracker." : $"This needs the scope {needs}; the key has {string.Join(", ", caller.Held.Select(Words.Write))}. Ask an administrator for another key.");
            http.Features.Set(caller);
        }
        await next(http);
    }

    /// <summary>The living key with a secret; null where there is none.</summary>
    public static async Task<KeyRow?> FindAsync(ReadSession session, string secret, DateTimeOffset now) =>
        await KeyStore.FindByHashAsync(session, KeySecret.Hash(secret.Trim())) is { } key && key.WorksAt(now) ? key : null;

    private async Task<Caller> OfHeaderAsync(HttpContext http)
    {
        var header = http.Request.Headers.Authorization.ToString();
        if (!header.StartsWith("Bearer ", StringComparison.OrdinalIgnoreCase))
            throw Refused(http, "", "Send an API key: Authorization: Bearer bt_...");
        var secret = header["Bearer ".Length..];
        return await keys.FindAsync(secret.Trim(), http.RequestAborted) is { } known && known.Row.WorksAt(clock.GetUtcNow())
            ? known.Caller
            : throw Refused(http, secret, "The key is not known, has expired or was revoked. Ask an administrator for a new one.");
    }

    private ProblemException Refused(HttpContext http, string secret, string detail)
    {
        limits.CountFailedTry(http, secret);
        return new ProblemException(ProblemKind.NoKey, detail);
    }

    private async Task<Caller> OfCookieAsync(HttpContext http)
    {
        var id = await PageSession.KeyIdAsync(http) ?? throw new ProblemException(ProblemKind.NoKey, "You are not signed in, or no longer: signing in lasts 12 hours.");
        await using var session = await database.ReadAsync(http.RequestAborted);
        return await KeyStore.FindAsync(session, id) is { } key && key.WorksAt(clock.GetUtcNow())
            ? Caller.OfKey(key)
            : throw new ProblemException(ProblemKind.NoKey, "The key you signed in with has expired or was revoked. Ask an administrator for a new one.");
    }

    private async Task TouchAsync(string keyId)
    {
        var now = clock.GetUtcNow();
        if (_touched.TryGetValue(keyId, out var last) && now - last < TouchEvery && now >= last)
            return;
        _touched[keyId] = now;
        await using var write = await database.WriteAsync(keyId, CancellationToken.None);
        await KeyStore.TouchAsync(write, keyId);
        await write.CommitAsync();
    }
}

/// <summary>Secrets of keys.</summary>
internal static class KeySecret
{
    /// <summary>A new secret.</summary>
    public static string New() => "bt_" + WebSecret.New();

    /// <summary>What is stored of it.</summary>
    public static string Hash(string secret) => WebSecret.Hash(secret);
}
