using BackTracker.Service.Features.Audit;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Pairings;

/// <summary>Pairings: which saddle is ridden on which horse, and since when.</summary>
internal static class PairingEndpoints
{
    public static void MapPairings(this IEndpointRouteBuilder routes)
    {
        var pairings = routes.MapGroup("/v1/pairings").WithTags("Pairings");
        pairings.MapPost("/", PairAsync).Needs(Scope.Manage).Creates<PairingAnswer>("Pair a saddle with a horse");
        pairings.MapGet("/", ListAsync).Needs(Scope.Read).Lists<PairingAnswer>("List pairings");
        pairings.MapGet("/{id}", GetAsync).Needs(Scope.Read).Gets<PairingAnswer>("Get a pairing");
        pairings.MapPut("/{id}", ChangeAsync).Needs(Scope.Manage).Changes<PairingAnswer>("Change or end a pairing");
    }

    private static Task<IResult> PairAsync(HttpContext http, PairingRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var horse = await HorseEndpoints.RequireAsync(session, caller, request.HorseId!);
        var saddle = await SaddleEndpoints.RequireAsync(session, caller, request.SaddleId!);
        if (horse.YardId != saddle.YardId)
            throw ProblemException.Impossible("/saddleId", "The horse and the saddle are in different yards. Register the saddle in the horse's yard.");
        var row = request.ToRow(session.NewId(), horse.Id, saddle.Id, 1, session.NowText);
        await RefuseOverlapAsync(session, row);
        await PairingStore.AddAsync(session, row);
        await WorkQueueStore.AddHorsesOfSaddleAsync(session, saddle.Id);
        await AuditStore.NoteAsync(session, "create", "pairing", row.Id);
        return Answer.Created($"/v1/pairings/{row.Id}", PairingAnswer.Of(row), row.Version);
    });

    private static async Task<IResult> ListAsync(
        HttpContext http, Caller caller, Database database, CancellationToken cancel, string? yardId = null, string? horseId = null, string? saddleId = null)
    {
        await using var session = await database.ReadAsync(cancel);
        var filter = new PairingFilter(
            yardId is null ? null : (await YardEndpoints.RequireAsync(session, caller, yardId)).Id,
            horseId is null ? null : (await HorseEndpoints.RequireAsync(session, caller, horseId)).Id,
            saddleId is null ? null : (await SaddleEndpoints.RequireAsync(session, caller, saddleId)).Id);
        return Paging.List(http, await PairingStore.ListAsync(session, caller.Sight, filter, Paging.Of(http)), PairingAnswer.Of);
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, PairingAnswer.Of(row), row.Version);
    }

    private static Task<IResult> ChangeAsync(HttpContext http, string id, PairingRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var before = await RequireAsync(session, caller, id);
        Conditional.RequireMatch(http, before.Version);
        if (Ids.Canonical(request.HorseId) != before.HorseId)
            throw ProblemException.Impossible("/horseId", "A pairing keeps its horse. End this one and make another.");
        if (Ids.Canonical(request.SaddleId) != before.SaddleId)
            throw ProblemException.Impossible("/saddleId", "A pairing keeps its saddle. End this one and make another.");
        var after = request.ToRow(before.Id, before.HorseId, before.SaddleId, before.Version, before.CreatedAt);
        await RefuseOverlapAsync(session, after);
        if (!await PairingStore.ChangeAsync(session, after))
            throw ProblemException.Overtaken();
        await WorkQueueStore.AddHorsesOfSaddleAsync(session, before.SaddleId);
        await AuditStore.NoteChangeAsync(session, "pairing", before.Id, AuditChanges.Between(PairingAnswer.Of(before), PairingAnswer.Of(after)));
        return Answer.Ok(PairingAnswer.Of(after), after.Version + 1);
    });

    private static async Task RefuseOverlapAsync(WriteSession session, PairingRow row)
    {
        if (await PairingStore.OverlapsAsync(session, row))
            throw new ProblemException(ProblemKind.Conflict, "This saddle is paired with this horse on some of those days already. Change that pairing, or end it first.");
    }

    /// <summary>The pairing, where the caller may see it.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<PairingRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await PairingStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("pairing", id);
}
