using BackTracker.Engine.Assessments;
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
        await HorseStore.AddAsync(session, horse);
        await WorkQueueStore.AddHorseAsync(session, horse.Id);
        await AuditStore.NoteAsync(session, "create", "horse", horse.Id);
        return Answer.Created($"/v1/horses/{horse.Id}", HorseAnswer.Of(horse), horse.Version);
    });

    private static async Task<IResult> ListAsync(HttpContext http, Caller caller, Database database, CancellationToken cancel, string? yardId = null, string? status = null)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = yardId is null ? null : await YardEndpoints.RequireAsync(session, caller, yardId);
        var horses = await HorseStore.ListAsync(session, caller.Sight, yard?.Id, QueryWord.Check<HorseStatus>(nameof(status), status), Paging.Of(http));
        return Paging.List(http, horses, HorseAnswer.Of);
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var horse = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, HorseAnswer.Of(horse), horse.Version);
    }

    /// <summary>The horse, where the caller may see it.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<HorseRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await HorseStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("horse", id);
}
