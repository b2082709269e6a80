using BackTracker.Engine.Assessments;
using BackTracker.Service.Features.Audit;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Horses;

/// <summary>Horses.</summary>
internal static class HorseEndpoints
{
    public static void MapHorses(this IEndpointRouteBuilder routes)
    {
        var horses = routes.MapGroup("/v1/horses").WithTags("Horses");
        horses.MapPost("/", RegisterAsync).Needs(Scope.Manage).Creates<HorseAnswer>("Register a horse");
        horses.MapGet("/", ListAsync).Needs(Scope.Read).Lists<HorseAnswer>("List horses");
        horses.MapGet("/{id}", GetAsync).Needs(Scope.Read).Gets<HorseAnswer>("Get a horse");
        horses.MapPut("/{id}", ChangeAsync).Needs(Scope.Manage).Changes<HorseAnswer>("Change what is known of a horse");
    }

    private static Task<IResult> RegisterAsync(HttpContext http, HorseRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var yard = await YardEndpoints.RequireAsync(session, caller, request.YardId!);
        var horse = request.ToRow(new HorseRow
        {
            Id = session.NewId(),
            YardId = yard.Id,
            Status = Words.Write(HorseStatus.Active),
            TimeZone = yard.TimeZone,
            Version = 1,
            CreatedAt = session.NowText,
        });
        RefuseUnborn(horse, request, session.Now);
        await HorseNumbers.KeepAsync(session, horse, () => HorseStore.AddAsync(session, horse));
        await WorkQueueStore.AddHorseAsync(session, horse.Id);
        await AuditStore.NoteAsync(session, "create", "horse", horse.Id);
        var phases = await HorsePhases.OfAsync(session, horse, session.Now);
        return Answer.Created($"/v1/horses/{horse.Id}", HorseAnswer.Of(horse, phases), phases.VersionOf(horse));
    });

    private static async Task<IResult> ListAsync(HttpContext http, Caller caller, Database database, TimeProvider clock, CancellationToken cancel, string? yardId = null, [WordsOf(typeof(HorseStatus))] string? status = null)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = yardId is null ? null : await YardEndpoints.RequireAsync(session, caller, yardId);
        var horses = await HorseStore.ListAsync(session, caller.Sight, yard?.Id, QueryWord.Check<HorseStatus>(nameof(status), status), Paging.Of(http));
        var phasesOf = await HorsePhases.OfAsync(session, horses.Items, clock.GetUtcNow());
        return Paging.List(http, horses, h => HorseAnswer.Of(h, phasesOf(h)));
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var horse = await RequireAsync(session, caller, id);
        var phases = await HorsePhases.OfAsync(session, horse, clock.GetUtcNow());
        return Conditional.Ok(http, HorseAnswer.Of(horse, phases), phases.VersionOf(horse));
    }

    private static Task<IResult> ChangeAsync(HttpContext http, string id, HorseRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var before = await RequireAsync(session, caller, id);
        var phases = await HorsePhases.OfAsync(session, before, session.Now);
        Conditional.RequireMatch(http, phases.VersionOf(before));
        if (Ids.Canonical(request.YardId) != before.YardId)
            throw ProblemException.Impossible("/yardId", $"A horse changes yards by a move, which has a day: POST /v1/horses/{before.Id}/moves. Send {before.YardId} here.");
        var after = request.ToRow(before);
        RefuseUnborn(after, request, session.Now);
        await HorseNumbers.KeepAsync(session, after, async () =>
        {
            if (!await HorseStore.ChangeAsync(session, after))
                throw ProblemException.Overtaken();
        });
        await WorkQueueStore.AddHorseAsync(session, before.Id);
        await AuditStore.NoteChangeAsync(session, "horse", before.Id, AuditChanges.Between(HorseAnswer.Of(before, phases), HorseAnswer.Of(after, phases)));
        return Answer.Ok(HorseAnswer.Of(after, phases), phases.VersionOf(after) + 1);
    });

    private static void RefuseUnborn(HorseRow horse, HorseRequest request, DateTimeOffset now)
    {
        if (request.BornOn is { } born)
            HorseDays.RefuseFuture(horse, born, now, "/bornOn");
    }

    /// <summary>The yard that a list is narrowed to; none where the caller named none.</summary>
    public static async Task<HorseFilter> FilterAsync(ReadSession session, Caller caller, string? yardId) =>
        new(null, yardId is null ? null : (await YardEndpoints.RequireAsync(session, caller, yardId)).Id);

    /// <summary>The horse, where the caller may see it.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<HorseRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await HorseStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("horse", id);
}
