using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.Rides;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Rides;

/// <summary>Rides, by which the hours of a saddle are counted.</summary>
internal static class RideEndpoints
{
    public static void MapRides(this IEndpointRouteBuilder routes)
    {
        var rides = routes.MapGroup("/v1").WithTags("Rides");
        rides.MapPost("/horses/{id}/rides", RecordAsync).Needs(Scope.Record).Creates<RideAnswer>("Record a ride");
        rides.MapHorseLists("rides", "rides", RideStore.ListAsync, (ride, _) => RideAnswer.Of(ride));
        rides.MapGet("/rides/{id}", GetAsync).Needs(Scope.Read).Gets<RideAnswer>("Get a ride");
        rides.MapPost("/rides/{id}/void", VoidAsync).Needs(Scope.Record).Does<RideAnswer>("Void a ride entered by mistake").Refuses(ProblemKind.Stale);
    }

    private static Task<IResult> RecordAsync(HttpContext http, string id, RideRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        var saddle = await SaddleEndpoints.RequireAsync(session, caller, request.SaddleId!);
        HorseDays.RefuseBeforeBirth(horse, request.RiddenOn!.Value, "/riddenOn");
        HorseDays.RefuseFuture(horse, request.RiddenOn.Value, session.Now, "/riddenOn");
        var ride = request.ToRow(session.NewId(), horse.Id, saddle.Id, session.NowText);
        if (!(await PairingStore.HorsesOnAsync(session, saddle.Id, ride.RiddenOn)).Contains(horse.Id))
            throw ProblemException.Impossible("/saddleId", $"{saddle.Label} is not paired with {horse.Name} on {ride.RiddenOn}. Look at the saddle and the day, or pair them from that day on first.");
        await RideStore.AddAsync(session, ride);
        await WorkQueueStore.AddHorsesOfSaddleAsync(session, saddle.Id);
        await AuditStore.NoteAsync(session, "create", "ride", ride.Id);
        return Answer.Created($"/v1/rides/{ride.Id}", RideAnswer.Of(ride), ride.Version);
    });

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var ride = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, RideAnswer.Of(ride), ride.Version);
    }

    private static Task<IResult> VoidAsync(HttpContext http, string id, VoidRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var ride = await RequireAsync(session, caller, id);
        Conditional.MatchIfSent(http, ride.Version);
        if (ride.VoidedAt is not null)
            throw ProblemException.VoidedAlready(ride.VoidReason);
        var voided = ride with { VoidedAt = session.NowText, VoidReason = request.Reason };
        if (!await RideStore.VoidAsync(session, voided))
            throw ProblemException.Overtaken();
        await WorkQueueStore.AddHorsesOfSaddleAsync(session, ride.SaddleId);
        await AuditStore.NoteAsync(session, "void", "ride", ride.Id);
        return Answer.Ok(RideAnswer.Of(voided), voided.Version + 1);
    });

    /// <summary>The ride, where the caller may see its horse.</summary>
    private static async Task<RideRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await RideStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("ride", id);
}
