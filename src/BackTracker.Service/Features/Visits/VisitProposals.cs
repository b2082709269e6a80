using BackTracker.Engine.Checks;
using BackTracker.Engine.Visits;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Yards;
using BackTracker.Storage.Checks;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Visits;

/// <summary>Which open checks of a yard go together in one visit.</summary>
internal sealed class VisitProposals(TimeProvider clock, CheckPolicy policy)
{
    /// <summary>Proposals for one person, or for a fitter who comes on any day; the first presses most.</summary>
    public async Task<IReadOnlyList<VisitProposalAnswer>> OfAsync(ReadSession session, YardRow yard, PersonRow? person) =>
        Of(await BookableAsync(session, yard.Id, person?.Role ?? "fitter"), yard, person);

    /// <summary>Proposals from checks that can be booked.</summary>
    public IReadOnlyList<VisitProposalAnswer> Of(IReadOnlyList<CheckRow> rows, YardRow yard, PersonRow? person)
    {
        var byId = rows.ToDictionary(row => row.Id);
        var proposals = VisitProposal.Of(rows.Select(CheckMapping.ToFact), Bookings.Days(yard, person), YardTime.Day(yard.TimeZone, clock.GetUtcNow()));
        return [.. proposals.Select(p => new VisitProposalAnswer(p.On, p.BookBy, p.Text, [.. p.Checks.Select(check => CheckAnswer.Of(byId[check.Id]))]))];
    }

    /// <summary>Open checks that somebody of this role can come for: a re-measure is the yard's own, and what waits for a vet waits.</summary>
    public async Task<IReadOnlyList<CheckRow>> BookableAsync(ReadSession session, string yardId, string role)
    {
        var open = (await CheckStore.AliveInYardAsync(session, yardId)).Where(row => row.State == "open" && row.Kind != "remeasure" && Bookings.Suits(row.Kind, role));
        var waiting = role == "vet" ? new HashSet<string>() : await VetFirstSigns.HorsesOfYardAsync(session, yardId, policy);
        return [.. open.Where(row => !waiting.Contains(row.HorseId))];
    }
}
