using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.People;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage.Checks;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Visits;

/// <summary>The form that plans a visit.</summary>
/// <param name="Checks">The open checks that can be chosen, by id.</param>
/// <param name="Comers">Who can come.</param>
/// <param name="Why">Why the day and the checks that are filled in were chosen; empty where nothing is proposed.</param>
/// <param name="Form">What is filled in.</param>
public sealed record VisitPlan(IReadOnlyList<(string Id, string Text)> Checks, IReadOnlyList<(string Value, string Text)> Comers, string Why, FormState Form);

/// <summary>Fills in the form that plans a visit with what goes together.</summary>
internal sealed class VisitPlanner(VisitProposals proposals, TimeProvider clock)
{
    /// <summary>The form, or the one that was refused as it was sent; null where there is nothing to choose, nobody to come, or the key may not plan.</summary>
    public async Task<VisitPlan?> LoadAsync(ReadSession session, Caller caller, YardRow yard, IReadOnlyList<PersonRow> people, FormState? refused)
    {
        var comers = PersonChoices.Fitters(people);
        if (comers.Count == 0 || !(caller.May(Scope.Manage) || caller.May(Scope.Fit)))
            return null;
        var checks = (await proposals.BookableAsync(session, yard.Id, "fitter")).OrderBy(row => row.DueOn, StringComparer.Ordinal).ThenBy(row => row.HorseName, StringComparer.Ordinal).ToList();
        if (checks.Count == 0 && refused is null)
            return null;
        var first = people.First(person => person.Id == comers[0].Value);
        var proposal = proposals.Of(checks, yard, first) is [var pressing, ..] ? pressing : null;
        var form = refused ?? FormState.New(clock,
        [
            ("/on", proposal is null ? "" : Storage.Instants.WriteDay(proposal.On)),
            ("/fitterId", first.Id),
            .. checks.Index().Where(row => proposal?.Checks.Any(check => check.Id == row.Item.Id) == true).Select(row => ($"/checkIds/{row.Index}", row.Item.Id)),
        ]);
        return new VisitPlan([.. checks.Select(row => (row.Id, Text(row)))], comers, refused is null && proposal is not null ? proposal.Text : "", form with { Mark = "visit" });
    }

    private static string Text(CheckRow row)
    {
        var urgent = row.Urgency == "now" ? "before the next ride" : $"due {Engine.Words.Day(Storage.Instants.ReadDay(row.DueOn))}";
        return $"{row.HorseName}: {BoardWords.Name(Words.Read<Engine.Checks.CheckKind>(row.Kind))}, {urgent}";
    }
}
