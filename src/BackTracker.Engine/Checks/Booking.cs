using BackTracker.Engine.Assessments;
using BackTracker.Engine.Visits;

namespace BackTracker.Engine.Checks;

/// <summary>How long ahead a visit has to be booked.</summary>
internal static class Booking
{
    /// <summary>
    /// The last day to book a visit that is due on a day: the fitter's lead before the last day until then on which the yard is open and the
    /// fitter works. Where any of several may come, early enough for each of them.
    /// </summary>
    public static DateOnly LastDay(Situation situation, PairingView view, DateOnly due) =>
        FittersOf(view).Min(fitter => VisitDay(situation, fitter, due).AddDays(-fitter.LeadDays));

    /// <summary>Days ahead on which whoever may come must be booked at the latest.</summary>
    public static int LeadDays(PairingView view) => FittersOf(view).Max(fitter => fitter.LeadDays);

    private static IReadOnlyList<FitterFact> FittersOf(PairingView view) =>
        view.Pairing.Fitters is { Count: > 0 } known ? known : [new FitterFact("", view.Policy.BookingLeadDays, [])];

    // Where there is no such day left, or it is overdue, the visit cannot be in time any more: to be booked at once.
    private static DateOnly VisitDay(Situation situation, FitterFact fitter, DateOnly due)
    {
        var days = new VisitDays(situation.Facts.Closed, fitter.WorkingDays);
        for (var day = due; day >= situation.Today; day = day.AddDays(-1))
        {
            if (days.IsOpen(day) && days.IsWorked(day))
                return day;
        }
        return due < situation.Today ? due : situation.Today;
    }
}
