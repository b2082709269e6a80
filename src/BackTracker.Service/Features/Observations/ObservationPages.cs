using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Observations;

/// <summary>The pages of what is seen on a horse, and what came of it.</summary>
internal sealed class ObservationPages(Database database, TimeProvider clock, CheckPolicy policy)
{
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapPage("/horses/{id}/observe", async (HttpContext http, string id, Caller caller, ObservationPages pages) =>
            PageRoutes.Show<ObservePage>(http, await pages.LoadObserveAsync(http, id, caller, pages.NewObserve))).Needs(Scope.Record);
        routes.MapForm("/horses/{id}/observe", ObserveAsync).Needs(Scope.Record);
        routes.MapPage("/observations/{id}", async (HttpContext http, string id, Caller caller, ObservationPages pages) =>
            PageRoutes.Show<ObservationPage>(http, await pages.LoadAsync(http, id, caller, pages.NewOutcome))).Needs(Scope.Read);
        routes.MapForm("/observations/{id}/outcome", CloseAsync).Needs(Scope.Record);
    }

    private static async Task<IResult> ObserveAsync(HttpContext http, string id, Caller caller, Writes writes, CheckPolicy policy, ObservationPages pages)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        return await FormPost.MakeAsync(
            http, form, () => ObservationEndpoints.RecordAsync(http, id, form.Read<ObservationRequest>(), caller, writes, policy),
            async again => PageRoutes.Show<ObservePage>(http, await pages.LoadObserveAsync(http, id, caller, _ => again), StatusCodes.Status422UnprocessableEntity));
    }

    private static async Task<IResult> CloseAsync(HttpContext http, string id, Caller caller, Writes writes, CheckPolicy policy, ObservationPages pages)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        return await FormPost.TakeAsync(
            http, form, () => ObservationEndpoints.CloseAsync(http, id, form.Read<OutcomeRequest>(), caller, writes, policy), $"/observations/{id}",
            async again => PageRoutes.Show<ObservationPage>(http, await pages.LoadAsync(http, id, caller, (_, _) => again), StatusCodes.Status422UnprocessableEntity));
    }

    private async Task<ObserveModel> LoadObserveAsync(HttpContext http, string id, Caller caller, Func<DateOnly, FormState> form)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        var kinds = Enum.GetValues<ObservationKind>().ToLookup(kind => ObservationWords.FirstLook(kind, policy));
        return new ObserveModel(
            await Named.YardAsync(session, caller, horse.YardId), new Named(horse.Id, horse.Name), kinds, policy.VetFirstBehaviourScore, form(YardTime.Day(horse.TimeZone, clock.GetUtcNow())));
    }

    private async Task<ObservationModel> LoadAsync(HttpContext http, string id, Caller caller, Func<DateOnly, IReadOnlyList<PersonRow>, FormState> form)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var row = await ObservationEndpoints.RequireAsync(session, caller, id);
        var horse = await HorseEndpoints.RequireAsync(session, caller, row.HorseId);
        var seen = ObservationAnswer.Of(row, policy);
        var givers = Givers(caller, seen, await PersonChoices.OfYardAsync(session, caller, horse.YardId));
        return new ObservationModel(await Named.YardAsync(session, caller, horse.YardId), new Named(horse.Id, horse.Name), seen, Conditional.Etag(row.Version))
        {
            OutcomeBy = row.OutcomeBy is null ? null : (await PersonStore.FindAsync(session, caller.Sight, row.OutcomeBy))?.Name,
            MayClose = caller.May(Scope.Record),
            MayTakeBack = seen.VoidedAt is null && caller.May(seen.VetFirst ? Scope.Manage : Scope.Record),
            People = [.. givers.Select(person => (person.Id, $"{person.Name}, {person.Role.Replace('-', ' ')}"))],
            Form = form(YardTime.Day(horse.TimeZone, clock.GetUtcNow()), givers),
        };
    }

    private FormState NewObserve(DateOnly today) => FormState.New(clock, ("/observedOn", Instants.WriteDay(today)));

    private FormState NewOutcome(DateOnly today, IReadOnlyList<PersonRow> givers) => FormState.New(clock,
        ("/on", Instants.WriteDay(today)), ("/by", givers.Count == 0 ? "" : givers[0].Id), ("/role", givers.Count == 0 ? "" : givers[0].Role));

    /// <summary>Whose outcome counts, the likeliest first; a key that belongs to a person records for that person alone.</summary>
    private static List<PersonRow> Givers(Caller caller, ObservationAnswer seen, IReadOnlyList<PersonRow> people) =>
    [
        .. people
            .Where(person => Words.TryParse<OutcomeRole>(person.Role, out var role) && (role == OutcomeRole.Vet || !seen.VetFirst) && (caller.PersonId is null || caller.PersonId == person.Id))
            .OrderByDescending(person => person.Role == "vet").ThenByDescending(person => person.Role == "fitter").ThenBy(person => person.Name, StringComparer.Ordinal),
    ];
}
