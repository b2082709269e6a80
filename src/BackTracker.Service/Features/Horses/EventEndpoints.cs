using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Horses;

/// <summary>Dated events, past and planned.</summary>
internal static class EventEndpoints
{
    public static void MapEvents(this IEndpointRouteBuilder routes)
    {
        var events = routes.MapGroup("/v1").WithTags("Events");
        events.MapPost("/horses/{id}/events", RecordAsync).Needs(Scope.Manage).Creates<EventAnswer>("Record or plan an event");
        events.MapHorseLists("events", "events", EventStore.ListAsync, (happening, _) => EventAnswer.Of(happening));
        events.MapGet("/events/{id}", GetAsync).Needs(Scope.Read).Gets<EventAnswer>("Get an event");
        events.MapPost("/events/{id}/void", VoidAsync).Needs(Scope.Manage).Moves<EventAnswer>("Void an event entered by mistake or planned in vain");
    }

    /// <summary>Records an event, whoever sends it.</summary>
    public static Task<IResult> RecordAsync(HttpContext http, string id, EventRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        HorseDays.RefuseBeforeBirth(horse, request.On!.Value, "/on");
        HorseDays.RefuseFarFuture(horse, request.On.Value, session.Now, "/on");
        RefuseUnplannedFuture(horse, request, session.Now);
        var happening = request.ToRow(session.NewId(), horse.Id, session.NowText);
        await EventStore.AddAsync(session, happening);
        await WorkQueueStore.AddHorseAsync(session, horse.Id);
        await AuditStore.NoteAsync(session, "create", "event", happening.Id);
        return Answer.Created($"/v1/events/{happening.Id}", EventAnswer.Of(happening), happening.Version);
    });

    private static void RefuseUnplannedFuture(HorseRow horse, EventRequest request, DateTimeOffset now)
    {
        if (request.On > HorseDays.Today(horse, now) && request.Planned is not true)
            throw ProblemException.Impossible("/planned", "The day is still to come. Say that the event is planned, or look at the day.");
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var happening = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, EventAnswer.Of(happening), happening.Version);
    }

    public static Task<IResult> VoidAsync(HttpContext http, string id, VoidRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var happening = await RequireAsync(session, caller, id);
        if (happening.VoidedAt is not null)
            throw ProblemException.VoidedAlready(happening.VoidReason);
        Conditional.RequireMatch(http, happening.Version);
        var voided = happening with { VoidedAt = session.NowText, VoidReason = request.Reason };
        if (!await EventStore.VoidAsync(session, voided))
            throw ProblemException.Overtaken();
        await WorkQueueStore.AddHorseAsync(session, happening.HorseId);
        await AuditStore.NoteAsync(session, "void", "event", happening.Id);
        return Answer.Ok(EventAnswer.Of(voided), voided.Version + 1);
    });

    /// <summary>The event, where the caller may see its horse.</summary>
    public static async Task<EventRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await EventStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("event", id);
}
