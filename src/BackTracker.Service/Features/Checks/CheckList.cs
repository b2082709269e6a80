using BackTracker.Engine.Checks;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Visits;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Visits;

namespace BackTracker.Service.Features.Checks;

/// <summary>A check in the list of a yard.</summary>
/// <param name="On">The day of the visit, or the day it is due.</param>
/// <param name="Check">The check.</param>
/// <param name="Saddle">The saddle; null where it is for the horse.</param>
/// <param name="When">Whether it is booked, with whom, or when it is wanted.</param>
public sealed record CheckLine(DateOnly On, CheckAnswer Check, string? Saddle, string When);

/// <summary>What the list of a yard's checks shows.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="Lines">Open and booked checks by day.</param>
/// <param name="People">Whose checks can be picked.</param>
/// <param name="Picked">What was picked: kind and fitterId.</param>
/// <param name="Visits">Planned visits, with where they are, by day.</param>
/// <param name="Plan">The form that plans a visit; null where none can be planned with this key.</param>
public sealed record CheckListModel(
    Named Yard, IReadOnlyList<CheckLine> Lines, IReadOnlyList<(string Value, string Text)> People, FormState Picked, IReadOnlyList<Named> Visits, VisitPlan? Plan);

/// <summary>The open and booked checks of a yard.</summary>
internal sealed class CheckList(Database database, TimeProvider clock, VisitPlanner planner)
{
    /// <summary>The list, with the form that was refused as it was sent.</summary>
    public async Task<CheckListModel> LoadAsync(HttpContext http, string id, string kind, string fitterId, Caller caller, FormState? refused = null)
    {
        if (kind.Length > 0 && !Words.TryParse<CheckKind>(kind, out _))
            throw new ProblemException(ProblemKind.BadQuery, $"kind is one of: {string.Join(", ", Words.Of<CheckKind>())}.");
        await using var session = await database.ReadAsync(http.RequestAborted);
        var yard = await YardEndpoints.RequireAsync(session, caller, id);
        var people = await PersonChoices.OfYardAsync(session, caller, yard.Id);
        var names = people.ToDictionary(person => person.Id, person => person.Name);
        var saddles = await SaddlesAsync(session, caller, yard.Id);
        var today = YardTime.Day(yard.TimeZone, clock.GetUtcNow());
        var alive = await CheckStore.AliveInYardAsync(session, yard.Id);
        var comers = people.Where(person => person.Id == fitterId || person.Role is "fitter" or "saddler" || (person.Role == "vet" && alive.Any(row => row.Kind == "vet")));
        var rows = alive.Where(row => (kind.Length == 0 || row.Kind == kind) && (fitterId.Length == 0 || row.FitterId == fitterId));
        var lines = rows.Select(row => Line(CheckAnswer.Of(row), saddles, names, today)).OrderBy(line => line.On).ThenBy(line => line.Check.HorseName, StringComparer.Ordinal);
        return new CheckListModel(
            new Named(yard.Id, yard.Name), [.. lines], [.. comers.Select(person => (person.Id, person.Name)).OrderBy(person => person.Name, StringComparer.Ordinal)],
            FormState.New(clock, ("kind", kind), ("fitterId", fitterId)), await VisitsAsync(session, caller, yard.Id, names), await planner.LoadAsync(session, caller, yard, people, refused));
    }

    private static async Task<IReadOnlyList<Named>> VisitsAsync(ReadSession session, Caller caller, string yardId, Dictionary<string, string> people)
    {
        var planned = await Paging.AllAsync(page => VisitStore.ListAsync(session, caller.Sight, new VisitFilter(yardId, null, "planned", null, null), page));
        return
        [
            .. planned.OrderBy(visit => visit.OnDay, StringComparer.Ordinal)
                .Select(visit => new Named(visit.Id, $"{Engine.Words.Day(Instants.ReadDay(visit.OnDay))}{CheckWords.With(people.GetValueOrDefault(visit.FitterId))}")),
        ];
    }

    private static CheckLine Line(CheckAnswer check, Dictionary<string, string> saddles, Dictionary<string, string> people, DateOnly today) => new(
        check.BookedOn ?? check.DueOn, check, check.PairingId is null ? null : saddles.GetValueOrDefault(check.PairingId),
        check.State == CheckState.Booked
            ? $"booked{CheckWords.With(people.GetValueOrDefault(check.FitterId ?? ""))}, due {Engine.Words.Day(check.DueOn)}"
            : CheckWords.When(check, today));

    /// <summary>The label of the saddle of every pairing in a yard.</summary>
    private static async Task<Dictionary<string, string>> SaddlesAsync(ReadSession session, Caller caller, string yardId)
    {
        var pairings = await Paging.AllAsync(page => PairingStore.ListAsync(session, caller.Sight, new PairingFilter(yardId, null, null), page));
        return pairings.ToDictionary(pairing => pairing.Id, pairing => pairing.SaddleLabel);
    }
}
