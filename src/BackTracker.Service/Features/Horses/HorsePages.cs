using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Policies;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;
using Microsoft.AspNetCore.Components;

namespace BackTracker.Service.Features.Horses;

/// <summary>The page of a horse, and the forms for its events and phases.</summary>
internal static class HorsePages
{
    public static void MapHorsePages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage("/horses/{id}", ShowAsync).Needs(Scope.Read);
        routes.MapPage("/horses/{id}/events", EventFormAsync).Needs(Scope.Manage);
        routes.MapForm("/horses/{id}/events", TakeEventAsync).Needs(Scope.Manage);
        routes.MapPage("/horses/{id}/phases", PhaseFormAsync).Needs(Scope.Manage);
        routes.MapForm("/horses/{id}/phases", TakePhaseAsync).Needs(Scope.Manage);
    }

    private static async Task<IResult> ShowAsync(
        HttpContext http, string id, string? metric, string? before, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        var view = new HorseView(session, caller, horse, await Named.YardAsync(session, caller, horse.YardId), policy);
        return before is null
            ? PageRoutes.Show<HorsePage>(http, await view.LoadAsync(metric, clock.GetUtcNow()))
            : PageRoutes.Show<HistoryPage>(http, await view.HistoryAsync(HistoryWords.PlaceOf(before)));
    }

    private static Task<IResult> EventFormAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy) =>
        FormAsync<EventPage>(http, id, caller, database, policy, horse => FormState.New(clock, ("/on", Instants.WriteDay(HorseDays.Today(horse, clock.GetUtcNow())))), 200);

    private static async Task<IResult> TakeEventAsync(HttpContext http, string id, Caller caller, Database database, Writes writes, CheckPolicy policy)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        return await FormPost.TakeAsync(
            http, form, () => EventEndpoints.RecordAsync(http, id, form.Read<EventRequest>(), caller, writes), $"/horses/{id}",
            state => FormAsync<EventPage>(http, id, caller, database, policy, _ => state, 422));
    }

    private static Task<IResult> PhaseFormAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy) =>
        FormAsync<PhasePage>(http, id, caller, database, policy, horse => FormState.New(clock, ("/from", Instants.WriteDay(HorseDays.Today(horse, clock.GetUtcNow())))), 200);

    private static async Task<IResult> TakePhaseAsync(HttpContext http, string id, Caller caller, Database database, Writes writes, CheckPolicy policy)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        return await FormPost.TakeAsync(
            http, form, () => PhaseEndpoints.RecordAsync(http, id, form.Read<PhaseRequest>(), caller, writes), $"/horses/{id}",
            state => FormAsync<PhasePage>(http, id, caller, database, policy, _ => state, 422));
    }

    private static async Task<IResult> FormAsync<TPage>(
        HttpContext http, string id, Caller caller, Database database, CheckPolicy policy, Func<HorseRow, FormState> form, int status) where TPage : IComponent
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        return PageRoutes.Show<TPage>(http, new HorseFormModel(await Named.YardAsync(session, caller, horse.YardId), new(horse.Id, horse.Name), form(horse), await PolicyLevels.InYardAsync(session, policy, horse.YardId)), status);
    }
}
