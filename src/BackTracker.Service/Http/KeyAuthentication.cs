using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;
using BackTracker.Storage;
using BackTracker.Storage.Keys;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Http;

/// <summary>Finds out who asks and whether the route's scope is among theirs.</summary>
internal sealed class KeyAuthentication(RequestDelegate next, Database database, TimeProvider clock)
{
    private static readonly TimeSpan TouchEvery = TimeSpan.FromMinutes(1);
    private readonly ConcurrentDictionary<string, DateTimeOffset> _touched = new();

    public async Task InvokeAsync(HttpContext http)
    {
        if (http.GetEndpoint()?.Metadata.GetMetadata<NeedsScope>() is { } needs)
        {
            var caller = await CallerAsync(http);
            if (!needs.AnyOf.Any(caller.May))
                throw new ProblemException(ProblemKind.WrongScope, $"This needs the scope {needs}; the key has {string.Join(", ", caller.Held.Select(Words.Write))}. Ask an administrator for another key.");
            http.Features.Set(caller);
        }
        await next(http);
    }

    private async Task<Caller> CallerAsync(HttpContext http)
    {
        var header = http.Request.Headers.Authorization.ToString();
        if (!header.StartsWith("Bearer ", StringComparison.OrdinalIgnoreCase))
            throw new ProblemException(ProblemKind.NoKey, "Send an API key: Authorization: Bearer bt_...");
        await using var session = await database.ReadAsync(http.RequestAborted);
        var key = await KeyStore.FindByHashAsync(session, KeySecret.Hash(header["Bearer ".Length..].Trim()));
        if (key is null || !IsAlive(key))
            throw new ProblemException(ProblemKind.NoKey, "The key is not known, has expired or was revoked. Ask an administrator for a new one.");
        await TouchAsync(key.Id);
        var sight = key.EveryYard == 1 ? Sight.All : Sight.Of(key.YardIds);
        return new Caller(key.Id, sight, [.. Json.Read<string[]>(key.Scopes).Select(Words.Read<Scope>)], key.PersonId);
    }

    private bool IsAlive(KeyRow key)
    {
        var now = clock.GetUtcNow();
        return (key.RevokedAt is null || Instants.Read(key.RevokedAt) > now)
            && (key.ExpiresOn is null || Instants.ReadDay(key.ExpiresOn) >= DateOnly.FromDateTime(now.UtcDateTime));
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
    /// <summary>A new secret of 256 random bits.</summary>
    public static string New() => "bt_" + Convert.ToBase64String(RandomNumberGenerator.GetBytes(32)).Replace('+', '-').Replace('/', '_').TrimEnd('=');

    /// <summary>What is stored of it.</summary>
    public static string Hash(string secret) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(secret)));
}
