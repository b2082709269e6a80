using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Observations;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Observations;

/// <summary>Who may end an observation, when and as what.</summary>
internal static class Outcomes
{
    /// <summary>The observation with its outcome, not yet stored.</summary>
    /// <exception cref="ProblemException">It is closed already, a vet has to look first, or the day, person or role cannot be.</exception>
    public static async Task<ObservationRow> GiveAsync(WriteSession session, Caller caller, ObservationRow observation, OutcomeRequest request, CheckPolicy policy)
    {
        RefuseClosed(observation);
        if (request.Role != OutcomeRole.Vet && ObservationFacts.IsVetFirst(observation, policy))
            throw new ProblemException(ProblemKind.VetFirst, $"'{observation.Kind}' is a sign that a vet has to look at first: only a vet's outcome ends it. Stop using the saddle until then.");
        var person = await NamedPerson.RequireAsync(session, caller, caller.Person(request.By, "/by"), "/by");
        RefuseBorrowedRole(caller, person, request.Role!.Value);
        await RefuseImpossibleDayAsync(session, caller, observation, request.On!.Value);
        return observation with
        {
            Outcome = Words.Write(request.Outcome!.Value),
            OutcomeOn = Instants.WriteDay(request.On.Value),
            OutcomeBy = person.Id,
            OutcomeRole = Words.Write(request.Role.Value),
            OutcomeNote = request.Note,
        };
    }

    private static void RefuseClosed(ObservationRow observation)
    {
        if (observation.VoidedAt is not null)
            throw new ProblemException(ProblemKind.Conflict, "The observation was voided. Record it again if it was seen after all.");
        if (observation.Outcome is not null)
            throw new ProblemException(ProblemKind.Conflict, $"The observation was closed on {observation.OutcomeOn}: {observation.Outcome}. Record a new one if it was seen again.");
    }

    // A key without a person is a machine's: it passes on what it was told, and answers for it.
    private static void RefuseBorrowedRole(Caller caller, PersonRow person, OutcomeRole role)
    {
        if (caller.PersonId is not null && person.Role != Words.Write(role))
            throw ProblemException.Impossible("/role", $"The person of this key is a {person.Role} and cannot give an outcome as {Words.Write(role)}.");
    }

    private static async Task RefuseImpossibleDayAsync(WriteSession session, Caller caller, ObservationRow observation, DateOnly on)
    {
        if (on < Instants.ReadDay(observation.ObservedOn))
            throw ProblemException.Impossible("/on", $"It was seen on {observation.ObservedOn}: the outcome cannot come before that.");
        var horse = await HorseEndpoints.RequireAsync(session, caller, observation.HorseId);
        if (on > YardTime.Day(horse.TimeZone, session.Now))
            throw ProblemException.Impossible("/on", "An outcome cannot lie on a day that is still to come.");
    }
}
