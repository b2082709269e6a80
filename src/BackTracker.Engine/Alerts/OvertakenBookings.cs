using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Alerts;

/// <summary>Booked days that have become too late.</summary>
internal static class OvertakenBookings
{
    /// <summary>
    /// The booking of a check where it is wanted before the booked day, though it was not when it was booked. It stays a problem, with the
    /// day first told, until the booking is early enough or the wish has gone: what is wanted at once is wanted a day later every day.
    /// </summary>
    public static IEnumerable<Problem> Of(CheckFact check, Assessment assessment, IReadOnlyList<AlertFact> open, CheckPolicy policy)
    {
        if (check.State != CheckState.Booked || check.BookedOn is not { } booked)
            yield break;
        var want = assessment.Wanted.FirstOrDefault(want => want.Kind == check.Kind && want.PairingId == check.PairingId);
        var told = open.FirstOrDefault(alert => alert.Problem.Key.Concern == Concern.Booking && alert.Problem.CheckId == check.Id)?.Problem;
        // What a vet has looked at stops nobody any more; if the booking is too late for another reason, that is another problem.
        var stands = told is not null && (!told.IsVetFirst || assessment.VetFirst);
        if (stands && booked > told!.DueOn && !IsEased(want, booked))
            yield return StillLate(told, check, want, booked, policy);
        else if (want is not null && IsLate(check, want, booked, policy))
            yield return Late(new ProblemKey(Concern.Booking, want.Reasons[0].Cause, check.PairingId, check.Kind.ToString(), null, null), check, want, booked);
    }

    private static bool IsEased(WantedCheck? want, DateOnly booked) => want is not null && want.Days.DueOn >= booked && want.Days.Urgency < Urgency.Now;

    // Somebody who booked it after its day knew that day: only what moved since is news.
    private static bool IsLate(CheckFact check, WantedCheck want, DateOnly booked, CheckPolicy policy) =>
        want.Days.DueOn < booked && (check.Days.DueOn >= booked || want.Days.DueOn <= check.Days.DueOn.AddDays(-policy.MoveDays));

    private static Problem StillLate(Problem told, CheckFact check, WantedCheck? want, DateOnly booked, CheckPolicy policy)
    {
        if (want is not null && want.Days.DueOn <= told.DueOn.AddDays(-policy.MoveDays))
            return Late(told.Key, check, want, booked);
        var urgency = want is null ? told.Urgency : Problems.Limited(want.Days.Urgency, want.Reasons[0].Cause);
        return told with { Text = Text(check.Kind, booked, told.DueOn, told.Key.Cause), Urgency = urgency > told.Urgency ? urgency : told.Urgency, BookedOn = booked };
    }

    private static Problem Late(ProblemKey key, CheckFact check, WantedCheck want, DateOnly booked) => new(
        key, check.Kind, check.Id, Text(check.Kind, booked, want.Days.DueOn, key.Cause), Problems.Limited(want.Days.Urgency, want.Reasons[0].Cause), want.Days.BookBy, want.Days.DueOn, booked);

    private static string Text(CheckKind kind, DateOnly booked, DateOnly due, Cause cause) =>
        $"Booked for {Words.Day(booked)}, but wanted by {Words.Day(due)} now ({AlertWords.Of(cause)}). {ToDo(kind, cause)}";

    private static string ToDo(CheckKind kind, Cause cause) => (kind, cause) switch
    {
        (CheckKind.Vet, _) or (_, Cause.VetFirst) => "Stop using the saddle. A vet must come sooner.",
        (CheckKind.Remeasure, _) => "Measure sooner.",
        _ => "Bring the visit forward, or leave the saddle off until then.",
    };
}
