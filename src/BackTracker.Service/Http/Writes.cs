using System.Security.Cryptography;
using System.Text;
using BackTracker.Service.Jobs;
using BackTracker.Storage.Idempotency;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Http;

/// <summary>
/// Runs a change: checks the request, opens the one transaction, lets the handler work, remembers the answer under the caller's
/// idempotency key, commits, and only then answers. The handler may have to work twice, see <see cref="Database.ChangeAsync"/>.
/// </summary>
internal sealed class Writes(Database database, ChangeSignal signal)
{
    private const int LongestKey = 255;

    public Task<IResult> RunAsync(HttpContext http, object request, Func<WriteSession, Task<Answer>> handle)
    {
        Requests.Validate(request);
        return RunAsync(http, () => Json.Write(request), handle);
    }

    /// <summary>The same for a body that is no object but was streamed, known by its digest.</summary>
    public Task<IResult> RunStreamedAsync(HttpContext http, string digest, Func<WriteSession, Task<Answer>> handle) => RunAsync(http, () => digest, handle);

    /// <summary>The answer to a repeat of a streamed body, before any work is done for it; null the first time.</summary>
    public async Task<IResult?> ReplayAsync(HttpContext http, string digest)
    {
        if (IdempotencyKey(http) is not { } key)
            return null;
        await using var session = await database.WriteAsync(Caller.Of(http).KeyId, http.RequestAborted);
        return await IdempotencyStore.FindAsync(session, key) is { } before ? Replay(http, before, Fingerprint(http, digest)) : null;
    }

    private async Task<IResult> RunAsync(HttpContext http, Func<string> body, Func<WriteSession, Task<Answer>> handle)
    {
        var key = IdempotencyKey(http);
        var fingerprint = key is null ? "" : Fingerprint(http, body());
        var send = await database.ChangeAsync<Func<IResult>>(Caller.Of(http).KeyId, async session =>
        {
            if (key is not null && await IdempotencyStore.FindAsync(session, key) is { } before)
                return () => Replay(http, before, fingerprint);
            var answer = await handle(session);
            if (key is not null)
                await IdempotencyStore.SaveAsync(session, key, Remember(answer, fingerprint));
            return () => Send(http, answer, session.Queued);
        }, http.RequestAborted);
        return send();
    }

    private IResult Send(HttpContext http, Answer answer, bool queued)
    {
        if (queued)
            signal.Raise();
        return Send(http, answer.Status, answer.Location, answer.Etag, answer.Body is null ? null : Json.Write(answer.Body));
    }

    private static IResult Replay(HttpContext http, StoredAnswer before, string fingerprint)
    {
        if (before.Fingerprint != fingerprint)
            throw new ProblemException(ProblemKind.KeyReused, "This Idempotency-Key was used for another request. Use a new key for a new request, and the old one only to repeat the old request unchanged.");
        http.Response.Headers["Idempotency-Replayed"] = "true";
        return Send(http, before.Status, before.Location, before.Etag, before.Body);
    }

    private static IResult Send(HttpContext http, int status, string? location, string? etag, string? body)
    {
        if (location is not null)
            http.Response.Headers.Location = location;
        if (etag is not null)
            http.Response.Headers.ETag = etag;
        return body is null ? Results.StatusCode(status) : Results.Text(body, "application/json; charset=utf-8", Encoding.UTF8, status);
    }

    private static StoredAnswer Remember(Answer answer, string fingerprint) => new()
    {
        Fingerprint = fingerprint,
        Status = answer.Status,
        Location = answer.Location,
        Etag = answer.Etag,
        Body = (answer.Remembered ?? answer.Body) is { } body ? Json.Write(body) : null,
    };

    private static string? IdempotencyKey(HttpContext http)
    {
        var key = http.Request.Headers["Idempotency-Key"].ToString();
        if (key.Length == 0 || http.Request.Method != HttpMethods.Post)
            return null;
        return key.Length <= LongestKey && key.All(c => c is >= ' ' and <= '~')
            ? key
            : throw new ProblemException(ProblemKind.Malformed, $"An Idempotency-Key holds at most {LongestKey} printable ASCII characters.");
    }

    private static string Fingerprint(HttpContext http, string body) => Convert.ToHexStringLower(SHA256.HashData(
        Encoding.UTF8.GetBytes($"{http.Request.Method} {http.Request.Path}{http.Request.QueryString}\n{body}")));
}

/// <summary>Stands for the body of a request that has none.</summary>
public sealed record NoBody;
