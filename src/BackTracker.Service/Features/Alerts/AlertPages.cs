using BackTracker.Engine.Alerts;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Alerts;

/// <summary>One entry of the log of an alert.</summary>
/// <param name="At">When, on the yard's clock.</param>
/// <param name="Text">What.</param>
public sealed record AlertLogLine(string At, string Text);

/// <summary>What the page of an alert shows.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="Alert">The alert.</param>
/// <param name="Version">Its version, as forms send it back.</param>
/// <param name="Log">What happened to it and who was told, first to last.</param>
/// <param name="Form">The form that acknowledges it.</param>
public sealed record AlertModel(Named Yard, AlertAnswer Alert, string Version, IReadOnlyList<AlertLogLine> Log, FormState Form)
{
    /// <summary>Who acknowledged it; null where nobody is named.</summary>
    public required string? AcknowledgedBy { get; init; }

    /// <summary>Whether whoever looks may acknowledge it.</summary>
    public required bool MayAcknowledge { get; init; }
}

/// <summary>The page of an alert: what it is about, and the log of who was told and why.</summary>
internal sealed class AlertPages(Database database, TimeProvider clock)
{
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapPage("/alerts/{id}", async (HttpContext http, string id, Caller caller, AlertPages pages) =>
            PageRoutes.Show<AlertPage>(http, await pages.LoadAsync(http, id, caller, FormState.New(pages.Clock)))).Needs(Scope.Read);
        routes.MapForm("/alerts/{id}/acknowledge", AcknowledgeAsync).Needs(Scope.Record);
    }

    private TimeProvider Clock => clock;

    private static async Task<IResult> AcknowledgeAsync(HttpContext http, string id, Caller caller, Writes writes, AlertPages pages)
    {
        var fields = await http.Request.ReadFormAsync(http.RequestAborted);
        var form = new FormJson(fields);
        var back = fields["from"] == "board" ? await pages.BoardOfAsync(http, id, caller) : $"/alerts/{id}";
        return await FormPost.TakeAsync(
            http, form, () => AlertEndpoints.AcknowledgeAsync(http, id, form.Read<AcknowledgeRequest>(), caller, writes), back,
            async again => PageRoutes.Show<AlertPage>(http, await pages.LoadAsync(http, id, caller, again), StatusCodes.Status422UnprocessableEntity));
    }

    private async Task<string> BoardOfAsync(HttpContext http, string id, Caller caller)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        return $"/yards/{(await AlertEndpoints.RequireAsync(session, caller, id)).YardId}";
    }

    private async Task<AlertModel> LoadAsync(HttpContext http, string id, Caller caller, FormState form)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var row = await AlertEndpoints.RequireAsync(session, caller, id);
        var alert = AlertAnswer.Of(row);
        var yard = (await YardStore.FindAsync(session, Sight.All, row.YardId))!;
        return new AlertModel(new Named(yard.Id, yard.Name), alert, Conditional.Etag(row.Version), await LogAsync(session, caller, row, yard.TimeZone), form)
        {
            AcknowledgedBy = row.AcknowledgedBy is null ? null : (await PersonStore.FindAsync(session, caller.Sight, row.AcknowledgedBy))?.Name,
            MayAcknowledge = alert.State == AlertState.Raised && caller.May(Scope.Record),
        };
    }

    private static async Task<IReadOnlyList<AlertLogLine>> LogAsync(ReadSession session, Caller caller, AlertRow row, string zone)
    {
        var steps = (await AlertStore.StepsAsync(session, row.Id)).Select(step => (step.CreatedAt, Text: AlertTexts.Step(step)));
        var decisions = (await AlertDecisionStore.OfAlertsAsync(session, [row.Id])).Select(decision => (decision.CreatedAt, AlertDecisionAnswer.Of(decision, zone, caller).Text));
        return
        [
            .. steps.Concat(decisions)
                .OrderBy(entry => entry.CreatedAt, StringComparer.Ordinal) // Stable: what happened comes before who was told of it.
                .Select(entry => new AlertLogLine(AlertTexts.Time(zone, Instants.Read(entry.CreatedAt)), entry.Text)),
        ];
    }
}
