using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Calendars;
using BackTracker.Storage.Keys;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Service.Features.Keys;

/// <summary>
/// What a key that was revoked leaves behind. Its subscriptions go on, because else nobody might hear of a horse that needs a vet; whoever
/// revokes the key sees which they are, and ends those that nobody should have.
/// </summary>
/// <param name="SubscriptionIds">Living subscriptions made with it.</param>
/// <param name="Note">What to do about them.</param>
public sealed record RevokedKeyAnswer(IReadOnlyList<string> SubscriptionIds, string Note)
{
    public static RevokedKeyAnswer Of(IReadOnlyList<string> subscriptionIds) => new(subscriptionIds, subscriptionIds.Count == 0
        ? "Calendar addresses made with this key have ended. No subscription made with it is left."
        : "Calendar addresses made with this key have ended. Its subscriptions go on: end those that nobody should have any more, DELETE /v1/subscriptions/{id}.");
}

/// <summary>API keys. Only an administrator of every yard makes and ends them.</summary>
internal static class KeyEndpoints
{
    private static readonly TimeSpan Overlap = TimeSpan.FromHours(24);

    public static void MapKeys(this IEndpointRouteBuilder routes)
    {
        var keys = routes.MapGroup("/v1/keys").WithTags("Keys");
        keys.MapPost("/", MakeAsync).Needs(Scope.Admin).Creates<NewKeyAnswer>("Make a key");
        keys.MapGet("/", ListAsync).Needs(Scope.Admin).Lists<KeyAnswer>("List keys");
        keys.MapGet("/{id}", GetAsync).Needs(Scope.Admin).Gets<KeyAnswer>("Get a key");
        keys.MapDelete("/{id}", RevokeAsync).Needs(Scope.Admin).Computes<RevokedKeyAnswer>("Revoke a key; calendar addresses made with it end, and its subscriptions are listed");
        keys.MapPost("/{id}/rotate", RotateAsync).Needs(Scope.Admin).Creates<NewKeyAnswer>("Replace a key; the old one works for 24 hours more");
    }

    private static Task<IResult> MakeAsync(HttpContext http, KeyRequest request, Caller caller, Writes writes) => MakeShownAsync(http, request, caller, writes, _ => { });

    /// <summary>Make a key; `shown` hears of it with its secret, where it is made and not answered again</summary>
    public static Task<IResult> MakeShownAsync(HttpContext http, KeyRequest request, Caller caller, Writes writes, Action<NewKeyAnswer> shown) => writes.RunAsync(http, request, async session =>
    {
        if (request.EveryYard && caller.Sight.EveryYard == 0)
            throw ProblemException.Impossible("/yardIds", "This key reaches some yards only and cannot make one that reaches all. Name the yards.");
        if (caller.PersonId is not null && request.PersonId != caller.PersonId)
            throw ProblemException.Impossible("/personId", "This key belongs to one person and makes keys for that person alone.");
        var yards = new List<string>();
        foreach (var yardId in request.YardIds ?? [])
            yards.Add((await YardEndpoints.RequireAsync(session, caller, yardId)).Id);
        var person = request.PersonId is { } personId ? await People.NamedPerson.RequireAsync(session, caller, personId, "/personId") : null;
        var (row, secret) = await KeyMaker.MakeAsync(session, request with { YardIds = yards, PersonId = person?.Id });
        var made = NewKeyAnswer.Shown(secret, row);
        shown(made);
        return Answer.Created($"/v1/keys/{row.Id}", made, row.Version) with { Remembered = made.WithoutSecret() };
    });

    private static async Task<IResult> ListAsync(HttpContext http, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        return Paging.List(http, await KeyStore.ListAsync(session, caller.Sight, Paging.Of(http)), KeyAnswer.Of);
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var key = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, KeyAnswer.Of(key), key.Version);
    }

    /// <summary>Revoke a key</summary>
    public static Task<IResult> RevokeAsync(HttpContext http, string id, Caller caller, Writes writes) => writes.RunAsync(http, new NoBody(), async session =>
    {
        var key = await RequireAsync(session, caller, id);
        await KeyStore.RevokeAsync(session, key.Id);
        await AuditStore.NoteAsync(session, "revoke", "key", key.Id);
        return new Answer(StatusCodes.Status200OK, RevokedKeyAnswer.Of(await SubscriptionStore.OfKeyAsync(session, key.Id)));
    });

    private static Task<IResult> RotateAsync(HttpContext http, string id, Caller caller, Writes writes) => writes.RunAsync(http, new NoBody(), async session =>
    {
        var old = await RequireAsync(session, caller, id);
        if (old.RevokedAt is not null)
            throw new ProblemException(ProblemKind.Conflict, "The key was revoked or replaced already. Make a new one.");
        var (row, secret) = await KeyMaker.MakeAsync(session, new KeyRequest
        {
            Name = old.Name,
            Scopes = KeyAnswer.Of(old).Scopes,
            YardIds = old.YardIds,
            PersonId = old.PersonId,
            ExpiresOn = KeyAnswer.Of(old).ExpiresOn,
        });
        await KeyStore.StopAsync(session, old.Id, session.Now + Overlap);
        await CalendarStore.HandOnAsync(session, old.Id, row.Id);
        await SubscriptionStore.HandOnAsync(session, old.Id, row.Id);
        await AuditStore.NoteAsync(session, "rotate", "key", old.Id);
        var shown = NewKeyAnswer.Shown(secret, row);
        return Answer.Created($"/v1/keys/{row.Id}", shown, row.Version) with { Remembered = shown.WithoutSecret() };
    });

    /// <summary>The key, where the caller reaches every yard of it.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<KeyRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await KeyStore.FindAsync(session, Ids.Canonical(id) ?? "") is { } key && Reaches(caller, key)
            ? key
            : throw ProblemException.NotFound("key", id);

    private static bool Reaches(Caller caller, KeyRow key) =>
        caller.Sight.EveryYard == 1 || key.EveryYard == 0 && key.YardIds.Count > 0 && key.YardIds.All(caller.Sight.Covers);
}
