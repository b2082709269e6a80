using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Horses;

/// <summary>What the form to take a record back shows.</summary>
/// <param name="Yard">The yard of the horse.</param>
/// <param name="Horse">The horse.</param>
/// <param name="What">The record in words.</param>
/// <param name="Address">Where the form is sent.</param>
/// <param name="Version">Version of the record, as the form sends it back.</param>
/// <param name="Form">The form.</param>
public sealed record TakeBackModel(Named Yard, Named Horse, string What, string Address, string Version, FormState Form);

/// <summary>Forms to take back an event, a phase or an observation that was entered by mistake.</summary>
internal static class TakeBackPages
{
    private const string Event = "/events/{id}/void";
    private const string Phase = "/phases/{id}/void";
    private const string Seen = "/observations/{id}/void";

    public static void MapTakeBackPages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage(Event, (HttpContext http, string id, Caller caller, Database database, TimeProvider clock) =>
            AskAsync(http, caller, database, FormState.New(clock), session => EventAsync(session, caller, id), 200)).Needs(Scope.Manage);
        routes.MapForm(Event, (HttpContext http, string id, Caller caller, Database database, Writes writes) =>
            TakeAsync(http, caller, database, request => EventEndpoints.VoidAsync(http, id, request, caller, writes), session => EventAsync(session, caller, id))).Needs(Scope.Manage);
        routes.MapPage(Phase, (HttpContext http, string id, Caller caller, Database database, TimeProvider clock) =>
            AskAsync(http, caller, database, FormState.New(clock), session => PhaseAsync(session, caller, id), 200)).Needs(Scope.Manage);
        routes.MapForm(Phase, (HttpContext http, string id, Caller caller, Database database, Writes writes) =>
            TakeAsync(http, caller, database, request => PhaseEndpoints.VoidAsync(http, id, request, caller, writes), session => PhaseAsync(session, caller, id))).Needs(Scope.Manage);
        routes.MapPage(Seen, (HttpContext http, string id, Caller caller, Database database, TimeProvider clock) =>
            AskAsync(http, caller, database, FormState.New(clock), session => SeenAsync(session, caller, id), 200)).Needs(Scope.Record);
        routes.MapForm(Seen, (HttpContext http, string id, Caller caller, Database database, Writes writes, CheckPolicy policy) =>
            TakeAsync(http, caller, database, request => ObservationEndpoints.VoidAsync(http, id, request, caller, writes, policy), session => SeenAsync(session, caller, id))).Needs(Scope.Record);
    }

    private static async Task<Record> EventAsync(ReadSession session, Caller caller, string id)
    {
        var row = await EventEndpoints.RequireAsync(session, caller, id);
        return new Record(row.HorseId, row.Kind, row.OnDay, row.Version);
    }

    private static async Task<Record> PhaseAsync(ReadSession session, Caller caller, string id)
    {
        var row = await PhaseEndpoints.RequireAsync(session, caller, id);
        return new Record(row.HorseId, row.Phase, row.FromDay, row.Version);
    }

    private static async Task<Record> SeenAsync(ReadSession session, Caller caller, string id)
    {
        var row = await ObservationEndpoints.RequireAsync(session, caller, id);
        return new Record(row.HorseId, row.Kind, row.ObservedOn, row.Version);
    }

    private static async Task<IResult> AskAsync(HttpContext http, Caller caller, Database database, FormState form, Func<ReadSession, Task<Record>> find, int status)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var record = await find(session);
        var horse = await HorseEndpoints.RequireAsync(session, caller, record.HorseId);
        var yard = await YardEndpoints.RequireAsync(session, caller, horse.YardId);
        return PageRoutes.Show<TakeBackPage>(http, new TakeBackModel(
            new(yard.Id, yard.Name), new(horse.Id, horse.Name), record.Text, http.Request.Path, Conditional.Etag(record.Version), form), status);
    }

    private static async Task<IResult> TakeAsync(
        HttpContext http, Caller caller, Database database, Func<VoidRequest, Task<IResult>> take, Func<ReadSession, Task<Record>> find)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        return await FormPost.TakeAsync(
            http, form, () => take(form.Read<VoidRequest>()), $"/horses/{await HorseIdAsync(http, database, find)}#history",
            state => AskAsync(http, caller, database, state, find, StatusCodes.Status422UnprocessableEntity));
    }

    private static async Task<string> HorseIdAsync(HttpContext http, Database database, Func<ReadSession, Task<Record>> find)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        return (await find(session)).HorseId;
    }

    /// <summary>A record that can be taken back.</summary>
    private sealed record Record(string HorseId, string Kind, string Day, long Version)
    {
        /// <summary>"Lay-off, 3 May 2026".</summary>
        public string Text => $"{Engine.Words.Sentence(HistoryWords.Plain(Kind))}, {Engine.Words.Day(Instants.ReadDay(Day))}";
    }
}
