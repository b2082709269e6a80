using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>
/// Compares the checks that exist with those that are wanted. Calm by rule: a day moves only when the evidence moves it by a week or more
/// or makes it urgent, what is booked is never moved, what a person postponed or dropped stays so until something new comes up, and
/// deciding twice decides nothing the second time.
/// </summary>
internal static class Reconciliation
{
    /// <summary>Decisions in order: what is closed, then what is revised, then what is opened.</summary>
    public static IReadOnlyList<CheckDecision> Decide(Situation situation, IReadOnlyList<WantedCheck> wanted)
    {
        List<CheckDecision> closed = [], revised = [];
        var kept = new HashSet<(CheckKind, string?)>();
        foreach (var check in Standing(situation.Facts))
        {
            if (Closing.Of(check, situation) is { } closing)
            {
                closed.Add(closing);
                continue;
            }
            var match = Match(check, wanted, situation.Today);
            if (match is null && Closing.IfUnwanted(check, situation, wanted) is { } drop)
            {
                closed.Add(drop);
                continue;
            }
            kept.Add((check.Kind, check.PairingId));
            if ((match is null ? Revision.Reword(check, wanted) : Revision.Of(check, match, situation)) is { } revision)
                revised.Add(revision);
        }
        var opened = wanted
            .Where(want => want.NoticeOn <= situation.Today && !kept.Contains((want.Kind, want.PairingId)) && !IsDeclined(want, situation))
            .Select(want => new CheckDecision.Open(want));
        return [.. closed, .. revised, .. opened];
    }

    private static IEnumerable<CheckFact> Standing(HorseFacts facts) => facts.Checks
        .Where(check => check.State is CheckState.Open or CheckState.Booked)
        .OrderBy(check => check.Id, StringComparer.Ordinal);

    // A check whose time has not come again still stands for the same cause, so that its day moves rather than that it is dropped and
    // opened again; unless a stronger one covers it meanwhile.
    private static WantedCheck? Match(CheckFact check, IReadOnlyList<WantedCheck> wanted, DateOnly today)
    {
        var match = wanted.FirstOrDefault(want => want.Kind == check.Kind && want.PairingId == check.PairingId);
        if (match is null || match.NoticeOn <= today)
            return match;
        var sameCause = match.Reasons.Any(reason => check.Reasons.Any(held => held.Cause == reason.Cause));
        return sameCause && Closing.Cover(check, wanted, today) is null ? match : null;
    }

    // A person said no to just this: nothing has been measured since, no cause is new and it is no more urgent.
    private static bool IsDeclined(WantedCheck want, Situation situation) => situation.Facts.Checks.Any(check =>
        check.State == CheckState.Dropped && check.Kind == want.Kind && check.PairingId == want.PairingId
        && check.DroppedByPersonOn is { } dropped
        && situation.Today < dropped.AddDays(situation.Policy.DroppedQuietDays)
        && !(situation.LastSession?.On > dropped)
        && want.Days.Urgency <= check.Days.Urgency
        && ReasonKey.SetOf(want.Reasons).IsSubsetOf(ReasonKey.SetOf(check.Reasons)));
}
