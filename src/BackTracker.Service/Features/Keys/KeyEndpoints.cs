using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Keys;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Keys;

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
        keys.MapDelete("/{id}", RevokeAsync).Needs(Scope.Admin).Ends("Revoke a key");
        keys.MapPost("/{id}/rotate", RotateAsync).Needs(Scope.Admin).Creates<NewKeyAnswer>("Replace a key; the old one works for 24 hours more");
    }

    private static Task<IResult> MakeAsync(HttpContext http, KeyRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
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
        var shown = NewKeyAnswer.Shown(secret, row);
        return Answer.Created($"/v1/keys/{row.Id}", shown, row.Version) with { Remembered = shown.WithoutSecret() };
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

    private static Task<IResult> RevokeAsync(HttpContext http, string id, Caller caller, Writes writes) => writes.RunAsync(http, new NoBody(), async session =>
    {
        var key = await RequireAsync(session, caller, id);
        await KeyStore.RevokeAsync(session, key.Id);
        await AuditStore.NoteAsync(session, "revoke", "key", key.Id);
        return Answer.NoContent;
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
        await AuditStore.NoteAsync(session, "rotate", "key", old.Id);
        var shown = NewKeyAnswer.Shown(secret, row);
        return Answer.Created($"/v1/keys/{row.Id}", shown, row.Version) with { Remembered = shown.WithoutSecret() };
    });

    private static async Task<KeyRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await KeyStore.FindAsync(session, Ids.Canonical(id) ?? "") is { } key && Reaches(caller, key)
            ? key
            : throw ProblemException.NotFound("key", id);

    private static bool Reaches(Caller caller, KeyRow key) =>
        caller.Sight.EveryYard == 1 || key.EveryYard == 0 && key.YardIds.Count > 0 && key.YardIds.All(caller.Sight.Covers);
}
