using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Assessments;

/// <summary>What was known of a horse on an earlier day.</summary>
public static class HorseFactsAsOf
{
    /// <summary>
    /// The facts without anything that happened after <paramref name="day"/>, by the day it happened and not the day it was recorded.
    /// What was planned ahead stays, later outcomes are taken off so that the observation is open again, pairings that end later are
    /// still in use, and checks done or dropped by a person later are open again. Checks opened later are left out where the day is known.
    /// </summary>
    public static HorseFacts AsOf(this HorseFacts facts, DateOnly day) => facts with
    {
        Sessions = [.. facts.Sessions.Where(session => session.On <= day)],
        Phases = [.. facts.Phases.Where(phase => phase.From <= day || phase.Occurrence == Occurrence.Planned)],
        Events = [.. facts.Events.Where(item => item.On <= day || item.Occurrence == Occurrence.Planned)],
        Observations = [.. facts.Observations.Where(seen => seen.On <= day).Select(seen => Reopened(seen, day))],
        Rides = [.. facts.Rides.Where(ride => ride.On <= day)],
        Pairings = [.. facts.Pairings.Where(pairing => pairing.From <= day).Select(pairing => Known(pairing, day))],
        Commissions = [.. facts.Commissions.Where(commission => commission.Steps[0].On <= day).Select(commission => commission.AsOf(day))],
        Checks = [.. facts.Checks.Where(check => check.OpenedOn is not { } opened || opened <= day).Select(check => Reopened(check, day))],
    };

    private static ObservationFact Reopened(ObservationFact seen, DateOnly day) =>
        seen.Outcome is { } outcome && outcome.On > day ? seen with { Outcome = null } : seen;

    private static PairingFact Known(PairingFact pairing, DateOnly day) => pairing with
    {
        To = pairing.To > day ? null : pairing.To,
        TreeShapes = [.. pairing.TreeShapes.Where(shape => shape.From <= day)],
        Adjustments = [.. pairing.Adjustments.Where(change => change.On <= day)],
    };

    private static CheckFact Reopened(CheckFact check, DateOnly day) =>
        check.DoneOn > day || check.DroppedByPersonOn > day
            ? check with { State = CheckState.Open, DoneOn = null, DroppedByPersonOn = null }
            : check;
}
