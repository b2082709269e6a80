using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Alerts;

/// <summary>By what a problem has gone, in words.</summary>
internal static class Settling
{
    public static string Why(Problem problem, HorseFacts facts, Assessment assessment)
    {
        if (facts.Status != HorseStatus.Active)
            return $"{facts.HorseName} is {(facts.Status == HorseStatus.Died ? "dead" : facts.Status.ToString().ToLowerInvariant())}.";
        if (problem.IsVetFirst)
            return AfterTheVet(problem, facts);
        if (problem.Key.Concern == Concern.Commission)
            return CommissionsAtRisk.WhyGone(problem, assessment);
        var check = facts.Checks.FirstOrDefault(check => check.Id == problem.CheckId);
        return check is null ? "Its cause is gone."
            : check.State is CheckState.Done or CheckState.Dropped ? Closed(check, assessment)
            : problem.Key.Concern == Concern.Booking ? OfBooking(check)
            : problem.Key.Cause == Cause.OutNow ? "Within tolerance again."
            : "Its cause is gone.";
    }

    private static string AfterTheVet(Problem problem, HorseFacts facts)
    {
        var outcome = facts.Observations
            .Where(seen => Problems.KeyOf(Cause.VetFirst, null, seen) == problem.Key && seen.Outcome?.Role == OutcomeRole.Vet)
            .Max(seen => seen.Outcome?.On);
        return outcome is { } on ? $"Seen by the vet on {Words.Day(on)}." : "The sign does not call for a vet any more.";
    }

    private static string Closed(CheckFact check, Assessment assessment)
    {
        foreach (var decision in assessment.Decisions)
        {
            if (decision is CheckDecision.Complete done && done.CheckId == check.Id)
                return done.Note;
            if (decision is CheckDecision.Drop gone && gone.CheckId == check.Id)
                return gone.Note;
        }
        var kind = Words.Sentence(CheckWords.Kind(check.Kind));
        return check switch
        {
            { State: CheckState.Done, DoneOn: { } on } => $"{kind} done on {Words.Day(on)}.",
            { DroppedByPersonOn: { } on } => $"{kind} dropped by a person on {Words.Day(on)}.",
            _ => $"{kind} not needed any more.",
        };
    }

    private static string OfBooking(CheckFact check) => check.BookedOn is { } on
        ? $"The visit on {Words.Day(on)} is early enough now."
        : "The visit fell through: the check is open again.";
}
