using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>From a due day to the four days of a check, its urgency and the day it is opened.</summary>
internal static class Deadlines
{
    /// <summary>A vet today.</summary>
    public static WantedCheck Vet(Situation situation, Reason reason) =>
        new(CheckKind.Vet, null, Now(situation.Today, situation.Today, situation.Policy), situation.Today, [reason]);

    /// <summary>Something to be done to a saddle before the next ride.</summary>
    public static WantedCheck AtOnce(Situation situation, PairingView view, CheckKind kind, DateOnly due, Reason reason) =>
        new(kind, view.Pairing.Id, Now(situation.Today, due, view.Policy), situation.Today, [reason]);

    /// <summary>
    /// A visit that must be booked (<see cref="Booking.LastDay"/>). It is opened a measuring interval before the last day to book, so that one
    /// more measurement is in hand before anybody must decide.
    /// </summary>
    public static WantedCheck Visit(
        Situation situation, PairingView view, DateOnly opens, DateOnly due, DateOnly closes, Urgency highest, Reason reason)
    {
        var bookBy = Booking.LastDay(situation, view, due);
        var days = new CheckDays(opens, bookBy, due, closes, UrgencyOf(situation, bookBy, due, highest));
        return new WantedCheck(CheckKind.Fit, view.Pairing.Id, days, bookBy.AddDays(-MeasurementCauses.Interval(situation).Days), [reason]);
    }

    /// <summary>A measurement by the yard: nobody is booked.</summary>
    public static WantedCheck Measurement(Situation situation, DateOnly due, Reason reason)
    {
        var opens = due.AddDays(-situation.Policy.RemeasureNoticeDays);
        var days = new CheckDays(opens, due, due, due.AddDays(situation.Policy.WindowDays), UrgencyOf(situation, due, due, Urgency.Soon));
        return new WantedCheck(CheckKind.Remeasure, null, days, opens, [reason]);
    }

    private static CheckDays Now(DateOnly today, DateOnly due, CheckPolicy policy) => new(today, due, due, due.AddDays(policy.OutNowDays), Urgency.Now);

    private static Urgency UrgencyOf(Situation situation, DateOnly bookBy, DateOnly due, Urgency highest)
    {
        var urgency = due <= situation.Today ? Urgency.Now
            : bookBy <= situation.Today.AddDays(situation.Policy.SoonDays) ? Urgency.Soon
            : Urgency.Routine;
        return urgency < highest ? urgency : highest;
    }
}
