using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Observations;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Observations;

/// <summary>What was seen on the horse or under saddle, and what came of it.</summary>
internal static class ObservationEndpoints
{
    public static void MapObservations(this IEndpointRouteBuilder routes)
    {
        var ofHorse = routes.MapGroup("/v1/horses/{id}/observations").WithTags("Observations");
        ofHorse.MapPost("/", RecordAsync).Needs(Scope.Record).Creates<ObservationAnswer>("Record something seen on the horse or under saddle");
        ofHorse.MapGet("/", ListOfHorseAsync).Needs(Scope.Read).Lists<ObservationAnswer>("List the observations of a horse");
        var all = routes.MapGroup("/v1/observations").WithTags("Observations");
        all.MapGet("/", ListAsync).Needs(Scope.Read).Lists<ObservationAnswer>("List observations");
        all.MapGet("/{id}", GetAsync).Needs(Scope.Read).Gets<ObservationAnswer>("Get an observation");
        all.MapPost("/{id}/outcome", CloseAsync).Needs(Scope.Record).Does<ObservationAnswer>("Say what came of an observation, which ends it").Refuses(ProblemKind.Stale);
        all.MapPost("/{id}/void", VoidAsync).Needs(Scope.Record).Does<ObservationAnswer>("Void an observation entered by mistake").Refuses(ProblemKind.Stale);
    }

    public static Task<IResult> RecordAsync(HttpContext http, string id, ObservationRequest request, Caller caller, Writes writes, CheckPolicy policy) => writes.RunAsync(http, request, async session =>
    {
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        RefuseImpossibleDay(session, horse, request.ObservedOn!.Value);
        var observation = request.ToRow(session.NewId(), horse.Id, session.NowText);
        await ObservationStore.AddAsync(session, observation);
        await AuditStore.NoteAsync(session, "create", "observation", observation.Id);
        await WorkQueueStore.AddHorseAsync(session, horse.Id);
        await ObservationEvents.AddAsync(session, horse, observation, policy);
        return Answer.Created($"/v1/observations/{observation.Id}", ObservationAnswer.Of(observation, policy), observation.Version);
    });

    private static void RefuseImpossibleDay(WriteSession session, HorseRow horse, DateOnly observedOn)
    {
        if (observedOn > YardTime.Day(horse.TimeZone, session.Now))
            throw ProblemException.Impossible("/observedOn", "Nothing can be seen on a day that is still to come.");
        if (horse.BornOn is { } born && observedOn < Instants.ReadDay(born))
            throw ProblemException.Impossible("/observedOn", $"The horse was born on {born}. Look at the year.");
    }

    private static async Task<IResult> ListOfHorseAsync(HttpContext http, string id, bool? open, Caller caller, Database database, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        return await PageAsync(http, session, caller, new ObservationFilter(HorseId: horse.Id, Openness: OpennessOf(open)), policy);
    }

    private static async Task<IResult> ListAsync(HttpContext http, string? yardId, bool? open, Caller caller, Database database, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = yardId is null ? null : await YardEndpoints.RequireAsync(session, caller, yardId);
        return await PageAsync(http, session, caller, new ObservationFilter(YardId: yard?.Id ?? "", Openness: OpennessOf(open)), policy);
    }

    private static async Task<IResult> PageAsync(HttpContext http, ReadSession session, Caller caller, ObservationFilter filter, CheckPolicy policy) =>
        Paging.List(http, await ObservationStore.ListAsync(session, caller.Sight, filter, Paging.Of(http)), row => ObservationAnswer.Of(row, policy));

    private static Openness OpennessOf(bool? open) => open switch
    {
        null => Openness.Any,
        true => Openness.Open,
        false => Openness.Closed,
    };

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var observation = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, ObservationAnswer.Of(observation, policy), observation.Version);
    }

    public static Task<IResult> CloseAsync(HttpContext http, string id, OutcomeRequest request, Caller caller, Writes writes, CheckPolicy policy) => writes.RunAsync(http, request, async session =>
    {
        var observation = await RequireAsync(session, caller, id);
        Conditional.MatchIfSent(http, observation.Version);
        var closed = await Outcomes.GiveAsync(session, caller, observation, request, policy);
        if (!await ObservationStore.CloseAsync(session, closed))
            throw ProblemException.Overtaken();
        await AuditStore.NoteAsync(session, "close", "observation", observation.Id);
        return await ChangedAsync(session, caller, observation, policy);
    });

    public static Task<IResult> VoidAsync(HttpContext http, string id, VoidRequest request, Caller caller, Writes writes, CheckPolicy policy) => writes.RunAsync(http, request, async session =>
    {
        var observation = await RequireAsync(session, caller, id);
        Conditional.MatchIfSent(http, observation.Version);
        if (observation.VoidedAt is not null)
            throw ProblemException.VoidedAlready(observation.VoidReason);
        if (ObservationFacts.IsVetFirst(observation, policy) && !caller.May(Scope.Manage))
            throw new ProblemException(ProblemKind.WrongScope, "This is a sign that a vet has to look at first. It is ended by a vet's outcome; voiding it as entered by mistake needs the scope manage.");
        if (!await ObservationStore.VoidAsync(session, observation, request.Reason!))
            throw ProblemException.Overtaken();
        await AuditStore.NoteAsync(session, "void", "observation", observation.Id);
        return await ChangedAsync(session, caller, observation, policy);
    });

    private static async Task<Answer> ChangedAsync(WriteSession session, Caller caller, ObservationRow before, CheckPolicy policy)
    {
        await WorkQueueStore.AddHorseAsync(session, before.HorseId);
        var now = await RequireAsync(session, caller, before.Id);
        return Answer.Ok(ObservationAnswer.Of(now, policy), now.Version);
    }

    /// <summary>The observation, where the caller may see its horse.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<ObservationRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await ObservationStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("observation", id);
}
