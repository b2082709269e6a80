using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

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
public sealed record CheckListModel(Named Yard, IReadOnlyList<CheckLine> Lines, IReadOnlyList<(string Value, string Text)> People, FormState Picked);

/// <summary>The open and booked checks of a yard.</summary>
internal static class CheckList
{
    public static async Task<IResult> ShowAsync(
        HttpContext http, string id, string? kind, string? fitterId, Caller caller, Database database, TimeProvider clock, CancellationToken cancel)
    {
        if (!string.IsNullOrEmpty(kind) && !Words.TryParse<CheckKind>(kind, out _))
            throw new ProblemException(ProblemKind.BadQuery, $"kind is one of: {string.Join(", ", Words.Of<CheckKind>())}.");
        await using var session = await database.ReadAsync(cancel);
        var yard = await YardEndpoints.RequireAsync(session, caller, id);
        var people = (await PersonStore.ListAsync(session, caller.Sight, yard.Id, null, Paging.First)).Items;
        var names = people.ToDictionary(person => person.Id, person => person.Name);
        var saddles = await SaddlesAsync(session, caller, yard.Id);
        var today = YardTime.Day(yard.TimeZone, clock.GetUtcNow());
        var alive = await CheckStore.AliveInYardAsync(session, yard.Id);
        var comers = people.Where(person => person.Id == fitterId || person.Role is "fitter" or "saddler" || (person.Role == "vet" && alive.Any(row => row.Kind == "vet")));
        var rows = alive.Where(row => (string.IsNullOrEmpty(kind) || row.Kind == kind) && (string.IsNullOrEmpty(fitterId) || row.FitterId == fitterId));
        var lines = rows.Select(row => Line(CheckAnswer.Of(row), saddles, names, today)).OrderBy(line => line.On).ThenBy(line => line.Check.HorseName, StringComparer.Ordinal);
        return PageRoutes.Show<CheckListPage>(http, new CheckListModel(
            new Named(yard.Id, yard.Name), [.. lines], [.. comers.Select(person => (person.Id, person.Name)).OrderBy(person => person.Name, StringComparer.Ordinal)],
            FormState.New(clock, ("kind", kind ?? ""), ("fitterId", fitterId ?? ""))));
    }

    private static CheckLine Line(CheckAnswer check, Dictionary<string, string> saddles, Dictionary<string, string> people, DateOnly today) => new(
        check.BookedOn ?? check.DueOn, check, check.PairingId is null ? null : saddles.GetValueOrDefault(check.PairingId),
        check.State == CheckState.Booked
            ? $"booked{CheckWords.With(people.GetValueOrDefault(check.FitterId ?? ""))}, due {Engine.Words.Day(check.DueOn)}"
            : CheckWords.When(check, today));

    /// <summary>The label of the saddle of every pairing in a yard.</summary>
    private static async Task<Dictionary<string, string>> SaddlesAsync(ReadSession session, Caller caller, string yardId)
    {
        var labels = new Dictionary<string, string>();
        for (var page = Paging.First; ;)
        {
            var some = await PairingStore.ListAsync(session, caller.Sight, new PairingFilter(yardId, null, null), page);
            foreach (var pairing in some.Items)
                labels[pairing.Id] = pairing.SaddleLabel;
            if (some.NextAfter is null)
                return labels;
            page = page with { After = some.NextAfter };
        }
    }
}
