using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage.Checks;
using BackTracker.Storage.People;

namespace BackTracker.Service.Features.Assessments;

/// <summary>Who may come to look at the saddles of a horse.</summary>
/// <param name="People">Fitters and saddlers of the yard.</param>
/// <param name="Checks">Every check of the horse.</param>
internal sealed record KnownFitters(IReadOnlyList<PersonRow> People, IReadOnlyList<CheckRow> Checks)
{
    /// <summary>The one who did the last visit of a pairing or is booked for it, else every fitter of the yard.</summary>
    public IReadOnlyList<FitterFact> For(string pairingId, CheckPolicy policy)
    {
        var last = Checks
            .Where(check => check.PairingId == pairingId && check.State is "done" or "booked")
            .OrderBy(check => check.State == "done" ? check.DoneOn : check.BookedOn, StringComparer.Ordinal)
            .Select(check => Person(check.DoneBy) ?? Person(check.FitterId))
            .LastOrDefault(person => person is not null);
        return [.. People.Where(person => last is null ? person.Role == "fitter" : person == last).Select(person => ToFact(person, policy))];
    }

    // A visit may be reported by somebody else than who came.
    private PersonRow? Person(string? id) => People.FirstOrDefault(person => person.Id == id);

    private static FitterFact ToFact(PersonRow person, CheckPolicy policy) =>
        new(person.Id, person.BookingLeadDays ?? policy.BookingLeadDays, Json.Read<DayOfWeek[]>(person.WorkingDays));
}
