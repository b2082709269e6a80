using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Audit;

/// <summary>Who made a change.</summary>
/// <param name="Key">Id of the key; of what the service did by itself, the word for that part of it ("assessor", "mail-link").</param>
/// <param name="KeyName">What the key is for; null where it was none.</param>
/// <param name="PersonId">The person the key belongs to; null where it is a machine's.</param>
/// <param name="PersonName">Their name.</param>
public sealed record AuditActor(string Key, string? KeyName, string? PersonId, string? PersonName);

/// <summary>A change that was made.</summary>
/// <param name="Id">Id.</param>
/// <param name="At">When.</param>
/// <param name="By">Who made it.</param>
/// <param name="Action">What was done, a verb: create, change, void, book, revoke and so on.</param>
/// <param name="Resource">What kind of thing it was done to.</param>
/// <param name="ResourceId">Its id.</param>
/// <param name="YardId">The yard in which it was at the time; null for what is not of one yard.</param>
/// <param name="Changes">Of a change, every member that was changed; empty for everything else, which keeps its own history.</param>
public sealed record AuditAnswer(
    string Id, string At, AuditActor By, string Action, string Resource, string ResourceId, string? YardId, IReadOnlyList<AuditChange> Changes)
{
    public static AuditAnswer Of(AuditRow row) => new(
        row.Id, row.CreatedAt, new AuditActor(row.KeyId, row.KeyName, row.PersonId, row.PersonName),
        row.Action, row.Resource, row.ResourceId, row.YardId, Json.ReadStored<AuditChange[]>(row.Changes));
}

/// <summary>Who changed what and when.</summary>
internal static class AuditEndpoints
{
    public static void MapAudit(this IEndpointRouteBuilder routes)
    {
        var audit = routes.MapGroup("/v1/audit").WithTags("Audit");
        audit.MapGet("/", ListAsync).Needs(Scope.Admin).Lists<AuditAnswer>("List who changed what and when; from and to are days in UTC, both included");
        audit.MapGet("/{id}", GetAsync).Needs(Scope.Admin).Computes<AuditAnswer>("Get one change");
    }

    private static async Task<IResult> ListAsync(
        HttpContext http, string? yardId, string? resource, string? resourceId, string? by, QueryDay? from, QueryDay? to, Caller caller, Database database, CancellationToken cancel)
    {
        if (resource is not null && !AuditPlaces.Resources.Contains(resource))
            throw new ProblemException(ProblemKind.BadQuery, $"resource is one of: {string.Join(", ", AuditPlaces.Resources)}.");
        await using var session = await database.ReadAsync(cancel);
        var yard = yardId is null ? null : await YardEndpoints.RequireAsync(session, caller, yardId);
        var filter = new AuditFilter(yard?.Id, resource, CanonicalOrAsSaid(resourceId), CanonicalOrAsSaid(by), Begin(from?.Day), Begin(to?.Day.AddDays(1)));
        return Paging.List(http, await AuditStore.ListAsync(session, caller.Sight, filter, Paging.Of(http)), AuditAnswer.Of);
    }

    private static async Task<IResult> GetAsync(string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await AuditStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("change", id);
        return Json.Answer(AuditAnswer.Of(row));
    }

    private static string? CanonicalOrAsSaid(string? said) => said is null ? null : Ids.Canonical(said) ?? said;

    private static string? Begin(DateOnly? day) => day is { } begins ? Instants.Write(new DateTimeOffset(begins, default, TimeSpan.Zero)) : null;
}
