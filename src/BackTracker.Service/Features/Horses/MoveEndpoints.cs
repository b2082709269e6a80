using BackTracker.Service.Features.Checks;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Horses;

/// <summary>Moves: a horse goes to another yard, is sold, retires, dies or comes back. Its history goes with it.</summary>
internal static class MoveEndpoints
{
    private const int OnlyVersion = 1; // A move is never changed.

    public static void MapMoves(this IEndpointRouteBuilder routes)
    {
        var moves = routes.MapGroup("/v1").WithTags("Moves");
        moves.MapPost("/horses/{id}/moves", MoveAsync).Needs(Scope.Manage).Creates<MoveAnswer>("Move a horse to another yard or status").Refuses(ProblemKind.Stale);
        moves.MapHorseLists("moves", "moves", MoveStore.ListAsync, MoveAnswer.Of);
        moves.MapGet("/moves/{id}", GetAsync).Needs(Scope.Read).Gets<MoveAnswer>("Get a move");
    }

    private static Task<IResult> MoveAsync(HttpContext http, string id, MoveRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        var yard = request.ToYardId is null ? null : await YardEndpoints.RequireAsync(session, caller, request.ToYardId);
        await RefuseImpossibleDayAsync(session, horse, request.On!.Value);
        var move = request.ToRow(session.NewId(), horse, yard?.Id, session.NowText);
        RefuseStandstill(horse, move);
        if (move.ToYardId is not null)
            await UnbookAsync(session, horse.Id);
        if (!await HorseStore.PlaceAsync(session, horse with { YardId = move.ToYardId ?? horse.YardId, Status = move.Status ?? horse.Status }))
            throw ProblemException.Overtaken();
        await MoveStore.AddAsync(session, move);
        if (move.ToYardId is not null)
            await PairingStore.EndOfHorseAsync(session, horse.Id, request.On.Value); // Its saddles stay with their yard.
        await WorkQueueStore.AddHorseAsync(session, horse.Id);
        await AuditStore.NoteAsync(session, "create", "move", move.Id);
        return Answer.Created($"/v1/moves/{move.Id}", MoveAnswer.Of(move, caller.Sight), OnlyVersion);
    });

    // Whoever was to come to the old yard does not find it there, and may not come to the new one.
    private static async Task UnbookAsync(WriteSession session, string horseId)
    {
        foreach (var check in (await CheckStore.OfHorseAsync(session, horseId)).Where(check => check.State == "booked"))
            await CheckLife.SaveAsync(session, CheckLife.Unbook(check with { FitterId = null }, new ReasonRequest { Reason = "The horse left the yard." }));
    }

    private static async Task RefuseImpossibleDayAsync(WriteSession session, HorseRow horse, DateOnly on)
    {
        HorseDays.RefuseFuture(horse, on, session.Now, "/on");
        HorseDays.RefuseBeforeBirth(horse, on, "/on");
        if (await MoveStore.LatestDayAsync(session, horse.Id) is { } latest && on < Instants.ReadDay(latest))
            throw new ProblemException(ProblemKind.Conflict, $"The horse moved on {latest} already, and moves are recorded in order. Send that day or a later one.");
    }

    private static void RefuseStandstill(HorseRow horse, MoveRow move)
    {
        if (move.ToYardId == horse.YardId)
            throw new ProblemException(ProblemKind.Conflict, "The horse stands in that yard already.");
        if (move.Status == horse.Status)
            throw new ProblemException(ProblemKind.Conflict, $"The horse has the status {horse.Status} already.");
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var move = await MoveStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("move", id);
        return Conditional.Ok(http, MoveAnswer.Of(move, caller.Sight), OnlyVersion);
    }
}
