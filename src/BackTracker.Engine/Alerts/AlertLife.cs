using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Alerts;

/// <summary>
/// Compares the problems of a horse with the alerts that are open. The same problem is one alert however often it is found; worse urgency
/// or a moved day changes it; it settles only by evidence that the problem has gone; deciding twice decides nothing the second time.
/// </summary>
public static class AlertLife
{
    /// <summary>What is to be done: settled first, then changed, then raised.</summary>
    /// <param name="facts">The horse, its checks as they are once the assessment's decisions have been carried out.</param>
    /// <param name="yardId">The yard it stands in.</param>
    /// <param name="assessment">The assessment.</param>
    /// <param name="open">Its open alerts.</param>
    /// <param name="policy">Settings of the checks.</param>
    /// <param name="alerts">Settings of the alerts.</param>
    public static IReadOnlyList<AlertChange> Decide(
        HorseFacts facts, string yardId, Assessment assessment, IReadOnlyList<AlertFact> open, CheckPolicy policy, AlertPolicy alerts)
    {
        var here = open.Where(alert => alert.YardId == yardId).ToList();
        var problems = Problems.Of(facts, assessment, here, policy);
        var found = problems.ToDictionary(problem => problem.Key);
        var held = here.Select(alert => alert.Problem.Key).ToHashSet();
        return
        [
            .. open.Where(alert => alert.YardId != yardId).Select(alert => new AlertChange.Settle(alert.Id, $"{facts.HorseName} has moved to another yard.")),
            .. here.Where(alert => !found.ContainsKey(alert.Problem.Key)).Select(alert => new AlertChange.Settle(alert.Id, Settling.Why(alert.Problem, facts, assessment))),
            .. here.Where(alert => found.ContainsKey(alert.Problem.Key)).SelectMany(alert => Changes(alert, found[alert.Problem.Key], assessment.Today, alerts)),
            .. problems.Where(problem => !held.Contains(problem.Key)).Select(problem => new AlertChange.Raise(problem, OverdueSince(problem, assessment.Today))),
        ];
    }

    private static IEnumerable<AlertChange> Changes(AlertFact alert, Problem now, DateOnly today, AlertPolicy alerts)
    {
        // A day that has passed stays so where a clock is set back: nobody is reminded of it again.
        var passed = alert.OverdueSince == now.OverdueFrom ? now.OverdueFrom : OverdueSince(now, today);
        var isForgotten = IsForgotten(alert, passed, today, alerts.AgainAfterDays);
        var isRaised = alert.State == AlertState.Raised || isForgotten || now.Urgency > alert.Problem.Urgency;
        if (isRaised && alert.State == AlertState.Acknowledged)
            yield return new AlertChange.Reopen(alert.Id);
        // Nobody is reminded of what they have acknowledged, unless a vet is to be called.
        var overdue = isRaised || alert.OverdueSince is not null || now.WantsVet(today) ? passed : null;
        var note = NoteOf(alert.Problem, now);
        if (overdue is not null && (alert.OverdueSince is null || isForgotten))
            yield return new AlertChange.Report(alert.Id, now, overdue, Gravest(alert.Problem, now), $"{note} Its day passed on {Words.Day(overdue.Value.AddDays(-1))}.".TrimStart());
        else if (note.Length > 0)
            yield return new AlertChange.Report(alert.Id, now, overdue, AlertNews.Changed, note);
        else if (now != alert.Problem || overdue != alert.OverdueSince)
            yield return new AlertChange.Refresh(alert.Id, now, overdue);
    }

    private static bool IsForgotten(AlertFact alert, DateOnly? overdueSince, DateOnly today, int afterDays) =>
        alert.State == AlertState.Acknowledged && today >= overdueSince?.AddDays(afterDays) && today >= alert.AcknowledgedOn?.AddDays(afterDays);

    // A reminder waits for the daily letter; what has become more urgent may not.
    private static AlertNews Gravest(Problem held, Problem now) => now.Urgency > held.Urgency ? AlertNews.Changed : AlertNews.Overdue;

    private static DateOnly? OverdueSince(Problem problem, DateOnly today) => today >= problem.OverdueFrom ? problem.OverdueFrom : null;

    /// <summary>What is news, in words; empty where nothing is. That somebody is booked is none to those who wait for it.</summary>
    private static string NoteOf(Problem held, Problem now)
    {
        var parts = new List<string>();
        if (now.Urgency > held.Urgency)
            parts.Add($"More urgent: {(now.Urgency == Urgency.Now ? "before the next ride" : now.Kind == CheckKind.Remeasure ? "measure now" : "book now")}.");
        if (now.DueOn != held.DueOn)
            parts.Add($"Due on {Words.Day(now.DueOn)} instead of {Words.Day(held.DueOn)}.");
        if (held.BookedOn is { } booked && now.BookedOn is { } another && another != booked)
            parts.Add($"Booked for {Words.Day(another)} instead of {Words.Day(booked)}.");
        else if (held.BookedOn is { } lost && now.BookedOn is null)
            parts.Add($"The visit on {Words.Day(lost)} fell through.");
        return string.Join(' ', parts);
    }
}
