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
            var (weeks, why, noSooner) = IntervalWeeks(situation, view);
            var start = view.CheckedSince;
            if (situation.Calendar.After(start, weeks * 7) is not { } elapsed)
                continue;
            var due = noSooner > elapsed ? DayOrder.Earlier(noSooner, DayOrder.Later(elapsed, situation.Calendar.After(start, view.Policy.WatchedFitWeeks * 7) ?? elapsed)) : elapsed;
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

    // The measurements stop watching when the window of the next one has closed. Until then nobody was late, so that a visit is due no sooner
    // than it can be booked from then on, and no later than had they watched on; a risk that calls the fitter by itself needs no calendar beside it.
    private static (int Weeks, string Why, DateOnly NoSooner) IntervalWeeks(Situation situation, PairingView view)
    {
        var policy = view.Policy;
        var watched = (policy.WatchedFitWeeks, "for a horse that is measured as asked", DateOnly.MinValue);
        var (weeks, why) = UnwatchedWeeks(situation, view.Policy);
        if (view.Forecast is not { } forecast || situation.LastSession is not { } last)
            return (weeks, why, DateOnly.MinValue);
        if (forecast.At(situation.Today).OutBy >= policy.RiskLimit)
            return RiskCauses.Calls(situation, view) ? watched : (weeks, why, DateOnly.MinValue);
        var closes = MeasurementCauses.DueOn(situation).AddDays(policy.WindowDays);
        return closes >= situation.Today ? watched : (weeks, $"{why}, not measured since {Words.Day(last.On)}", closes.AddDays(Booking.LeadDays(view)));
    }

    private static (int Weeks, string Why) UnwatchedWeeks(Situation situation, CheckPolicy policy) => situation.Phase != Phase.Rehabilitation && situation.IsGrowing
        ? (policy.GrowingFitWeeks, "while growing")
        : (policy.FitWeeks(situation.Phase), CheckWords.Phase(situation.Phase));
}
