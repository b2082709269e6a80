using BackTracker.Engine.Alerts;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Alerts;

/// <summary>Quiet periods: a horse is away, a yard is closed; always with an end and a reason.</summary>
internal static class QuietPeriodEndpoints
{
    private const int LongestDays = 366;

    public static void MapQuietPeriods(this IEndpointRouteBuilder routes)
    {
        var periods = routes.MapGroup("/v1/quiet-periods").WithTags("Alerts");
        periods.MapPost("/", AskAsync).Needs(Scope.Manage).Creates<QuietPeriodAnswer>("Have nobody told of a horse or a yard until a day, vet-first signs apart");
        periods.MapGet("/", ListAsync).Needs(Scope.Read).Lists<QuietPeriodAnswer>("List quiet periods");
        periods.MapGet("/{id}", GetAsync).Needs(Scope.Read).Gets<QuietPeriodAnswer>("Get a quiet period");
        periods.MapDelete("/{id}", EndAsync).Needs(Scope.Manage).Ends("End a quiet period before its time");
    }

    private static Task<IResult> AskAsync(HttpContext http, QuietPeriodRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var horse = request.HorseId is null ? null : await HorseEndpoints.RequireAsync(session, caller, request.HorseId);
        var yard = await YardEndpoints.RequireAsync(session, caller, horse?.YardId ?? request.YardId!);
        var today = YardTime.Day(yard.TimeZone, session.Now);
        if (request.Until < today || request.Until > today.AddDays(LongestDays))
            throw ProblemException.Impossible("/until", "A quiet period ends today or later, within a year. Look at the day.");
        var row = request.ToRow(new QuietPeriodRow
        {
            Id = session.NewId(),
            YardId = yard.Id,
            HorseId = horse?.Id,
            PersonId = caller.PersonId,
            Version = 1,
            CreatedAt = session.NowText,
        });
        await QuietPeriodStore.AddAsync(session, row);
        await AuditStore.NoteAsync(session, "create", "quiet-period", row.Id);
        return Answer.Created($"/v1/quiet-periods/{row.Id}", QuietPeriodAnswer.Of(row), row.Version);
    });

    private static async Task<IResult> ListAsync(HttpContext http, Caller caller, Database database, string? yardId, string? horseId, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = yardId is null ? null : await YardEndpoints.RequireAsync(session, caller, yardId);
        var horse = horseId is null ? null : await HorseEndpoints.RequireAsync(session, caller, horseId);
        return Paging.List(http, await QuietPeriodStore.ListAsync(session, caller.Sight, yard?.Id, horse?.Id, Paging.Of(http)), QuietPeriodAnswer.Of);
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, QuietPeriodAnswer.Of(row), row.Version);
    }

    private static Task<IResult> EndAsync(HttpContext http, string id, Caller caller, Writes writes, AlertPolicy policy) => writes.RunAsync(http, new NoBody(), async session =>
    {
        var row = await RequireAsync(session, caller, id);
        await QuietPeriodStore.EndAsync(session, row.Id);
        await AuditStore.NoteAsync(session, "end", "quiet-period", row.Id);
        // What is urgent and was kept quiet is told now.
        await AlertTeller.TellYardAsync(session, row.YardId, policy);
        return Answer.NoContent;
    });

    private static async Task<QuietPeriodRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await QuietPeriodStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("quiet period", id);
}
