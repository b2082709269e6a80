using BackTracker.Engine.Alerts;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Alerts;

/// <summary>Alerts: the service raises and settles them, people acknowledge them.</summary>
internal static class AlertEndpoints
{
    public static void MapAlerts(this IEndpointRouteBuilder routes)
    {
        var alerts = routes.MapGroup("/v1/alerts").WithTags("Alerts");
        alerts.MapGet("/", ListAsync).Needs(Scope.Read).Lists<AlertAnswer>("List alerts");
        alerts.MapGet("/{id}", GetAsync).Needs(Scope.Read).Gets<AlertAnswer>("Get an alert");
        alerts.MapGet("/{id}/decisions", DecisionsAsync).Needs(Scope.Read).Lists<AlertDecisionAnswer>("List who was told of an alert and who was not, and why");
        alerts.MapPost("/{id}/acknowledge", AcknowledgeAsync).Needs(Scope.Record).Moves<AlertAnswer>("Say that an alert has been seen; it then climbs to nobody else");
    }

    private static async Task<IResult> ListAsync(HttpContext http, Caller caller, Database database, [WordsOf(typeof(AlertState))] string? state, string? yardId, string? horseId, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var filter = new AlertFilter(
            yardId is null ? null : (await YardEndpoints.RequireAsync(session, caller, yardId)).Id,
            horseId is null ? null : (await HorseEndpoints.RequireAsync(session, caller, horseId)).Id,
            QueryWord.Check<AlertState>(nameof(state), state));
        return Paging.List(http, await AlertStore.ListAsync(session, caller.Sight, filter, Paging.Of(http)), AlertAnswer.Of);
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var alert = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, AlertAnswer.Of(alert), alert.Version);
    }

    private static async Task<IResult> DecisionsAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var alert = await RequireAsync(session, caller, id);
        var zone = (await YardStore.FindAsync(session, Sight.All, alert.YardId))!.TimeZone;
        return Paging.List(http, await AlertDecisionStore.ListAsync(session, alert.Id, Paging.Of(http)), row => AlertDecisionAnswer.Of(row, zone, caller));
    }

    public static Task<IResult> AcknowledgeAsync(HttpContext http, string id, AcknowledgeRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var alert = await RequireAsync(session, caller, id);
        Conditional.RequireMatch(http, alert.Version);
        if (alert.State != Words.Write(AlertState.Raised))
            throw new ProblemException(ProblemKind.Conflict, $"The alert is {alert.State} already, so there is nothing to acknowledge.");
        if (!await AlertStore.AcknowledgeAsync(session, alert, caller.PersonId, request.Note))
            throw ProblemException.Overtaken();
        await AlertStore.NoteStepAsync(session, alert.Id, Words.Write(AlertState.Acknowledged), request.Note ?? "");
        await AuditStore.NoteAsync(session, "acknowledge", "alert", alert.Id);
        var after = await RequireAsync(session, caller, alert.Id);
        return Answer.Ok(AlertAnswer.Of(after), after.Version);
    });

    /// <summary>The alert, where the caller may see its yard.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<AlertRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await AlertStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("alert", id);
}
