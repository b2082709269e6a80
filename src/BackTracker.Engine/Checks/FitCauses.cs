using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>Fit checks caused by the calendar: work that rises, and time since the last check.</summary>
internal static class FitCauses
{
    /// <summary>
    /// A fit check before the first ride after a long lay-off or of a phase that raises the work. Of those that have passed the latest
    /// counts, and only while the horse is ridden.
    /// </summary>
    public static IEnumerable<WantedCheck> BackToWork(Situation situation)
    {
        foreach (var view in situation.Pairings.Where(view => view.IsRidden))
        {
            var rises = situation.Calendar.Rises
                .Where(rise => rise.On >= view.Pairing.From && !(view.LastFitOn >= rise.On.AddDays(-situation.Policy.BeforeWorkDays)))
                .ToList();
            var passed = rises.Where(rise => rise.On <= situation.Today && situation.Calendar.IsRidden(situation.Today)).TakeLast(1);
            foreach (var rise in passed.Concat(rises.Where(rise => rise.On > situation.Today)))
                yield return BackToWork(situation, view, rise);
        }
    }

    /// <summary>
    /// A fit check when the last one, or the first day of the pairing, is too many ridden days ago; none while nobody rides in the saddle.
    /// A horse that is measured as asked and whose forecast stays under the risk limit waits longest: the forecast watches in between.
    /// </summary>
    public static IEnumerable<WantedCheck> Age(Situation situation)
    {
        if (!situation.Calendar.IsRidden(situation.Today))
            yield break;
        foreach (var view in situation.Pairings.Where(view => view.IsRidden))
        {
            var (weeks, why) = IntervalWeeks(situation, view);
            var start = view.CheckedSince;
            if (situation.Calendar.After(start, weeks * 7) is not { } due)
                continue;
            var since = view.LastFitOn is null ? $"In use since {Words.Day(start)} without a fit check" : $"Fit last checked on {Words.Day(start)}";
            var window = view.Policy.WindowDays;
            yield return Deadlines.Visit(situation, view, due.AddDays(-window), due, due.AddDays(window), Urgency.Soon, new Reason(
                Cause.FitCheckAge, $"{since}: every {Words.Span(weeks * 7)} of riding {why}.", start, null, null, weeks, "weeks", null));
        }
    }

    private static WantedCheck BackToWork(Situation situation, PairingView view, WorkRise rise)
    {
        var what = rise.DaysOff > 0 ? $"Back to work on {Words.Day(rise.On)} after {Words.Span(rise.DaysOff)} off" : $"More work from {Words.Day(rise.On)} on";
        var policy = view.Policy;
        return Deadlines.Visit(
            situation, view, rise.On.AddDays(-policy.BeforeWorkDays), rise.On, rise.On.AddDays(policy.WindowDays), Urgency.Now,
            new Reason(Cause.BackToWork, $"{what}: check the fit before the first ride.", rise.On, null, null, rise.DaysOff, "days", rise.SourceId));
    }

    private static (int Weeks, string Why) IntervalWeeks(Situation situation, PairingView view)
    {
        var policy = view.Policy;
        var underLimit = view.Forecast is { } forecast && forecast.At(situation.Today).OutBy < policy.RiskLimit;
        if (underLimit && MeasurementCauses.DueOn(situation) >= situation.Today && situation.LastSession is not null)
            return (policy.WatchedFitWeeks, "for a horse that is measured as asked");
        var phase = situation.Phase;
        return phase != Phase.Rehabilitation && situation.IsGrowing
            ? (policy.GrowingFitWeeks, "while growing")
            : (policy.FitWeeks(phase), CheckWords.Phase(phase));
    }
}
