using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Visits;

/// <summary>A day on which several checks can be done in one visit.</summary>
/// <param name="On">The day.</param>
/// <param name="Checks">The checks, the first due first.</param>
/// <param name="BookBy">Last day to book, so that none of them is late; today where that has passed.</param>
/// <param name="Text">Why this day, in words.</param>
public sealed record VisitProposal(DateOnly On, IReadOnlyList<CheckFact> Checks, DateOnly BookBy, string Text)
{
    private const int LongestAheadDays = 366;

    /// <summary>
    /// From the checks that press most: each visit takes the check whose window closes first and, within that window, the day on which most
    /// others can be done with it; of several such days the one nearest to the day the first of them is due. A check whose window has closed
    /// can be done on any day from today on, the sooner the better.
    /// </summary>
    /// <param name="open">Open checks of a yard.</param>
    /// <param name="days">When somebody can come.</param>
    /// <param name="today">Today in the yard.</param>
    public static IReadOnlyList<VisitProposal> Of(IEnumerable<CheckFact> open, VisitDays days, DateOnly today)
    {
        var possible = days.Between(today, today.AddDays(LongestAheadDays)).ToList();
        var left = open.OrderBy(check => check.Days.ClosesOn).ThenBy(check => check.Days.DueOn).ThenBy(check => check.Id, StringComparer.Ordinal).ToList();
        var proposals = new List<VisitProposal>();
        while (left.Count > 0)
        {
            var best = Best(left, possible, today);
            if (best is not null)
                proposals.Add(best);
            left = best is null ? [.. left.Skip(1)] : [.. left.Except(best.Checks)];
        }
        return proposals;
    }

    private static VisitProposal? Best(List<CheckFact> left, List<DateOnly> possible, DateOnly today)
    {
        var inTime = possible.Where(day => IsSensible(left[0], day)).ToList();
        // Nobody can come while it is sensible: late is better than never.
        var candidates = inTime.Count > 0 ? inTime : [.. possible.Where(day => day > left[0].Days.ClosesOn).Take(1)];
        if (candidates.Count == 0)
            return null;
        var best = candidates
            .OrderByDescending(day => left.Count(check => GoesAlong(check, day)))
            .ThenBy(day => Math.Abs(day.DayNumber - DayOrder.Later(left.Where(check => GoesAlong(check, day)).Min(check => check.Days.DueOn), today).DayNumber))
            .ThenBy(day => day)
            .First();
        return Make(best, left.Where(check => GoesAlong(check, best)), today);

        bool GoesAlong(CheckFact check, DateOnly day) => ReferenceEquals(check, left[0]) || IsSensible(check, day) || check.Days.ClosesOn < today;
    }

    private static VisitProposal Make(DateOnly day, IEnumerable<CheckFact> checks, DateOnly today)
    {
        List<CheckFact> inOrder = [.. checks.OrderBy(check => check.Days.DueOn).ThenBy(check => check.Id, StringComparer.Ordinal)];
        var bookBy = DayOrder.Later(inOrder.Min(check => check.Days.BookBy), today);
        return new VisitProposal(day, inOrder, bookBy, Say(day, inOrder, bookBy == today ? "book now" : $"book by {Words.Day(bookBy)}"));
    }

    private static string Say(DateOnly day, List<CheckFact> checks, string booking)
    {
        var due = checks[0].Days.DueOn;
        var closes = checks.Min(check => check.Days.ClosesOn);
        var late = checks.Count(check => check.Days.DueOn < day);
        var what = checks.Count == 1 ? "One check can be done" : $"{checks.Count} checks can be done together";
        var window = closes < day ? $"the first window closed on {Words.Day(closes)}" : $"the first window closes on {Words.Day(closes)}";
        return $"{what} on {Words.Day(day)}: the first is due on {Words.Day(due)}, {window}{(late == 0 ? "" : $", {late} will be past the due day")}; {booking}.";
    }

    private static bool IsSensible(CheckFact check, DateOnly day) => check.Days.OpensOn <= day && day <= check.Days.ClosesOn;

}
