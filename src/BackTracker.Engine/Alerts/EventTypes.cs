using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Alerts;

/// <summary>What subscriptions can be told of, by webhook or by mail. A type never changes its meaning; a new meaning is a new version.</summary>
public static class EventTypes
{
    /// <summary>A check was opened.</summary>
    public const string CheckOpened = "backtracker.check.opened.v1";

    /// <summary>A check's day or urgency changed, or a booking fell through or became too late.</summary>
    public const string CheckMoved = "backtracker.check.moved.v1";

    /// <summary>Somebody is booked.</summary>
    public const string CheckBooked = "backtracker.check.booked.v1";

    /// <summary>A check's day has come.</summary>
    public const string CheckDue = "backtracker.check.due.v1";

    /// <summary>A check is overdue.</summary>
    public const string CheckOverdue = "backtracker.check.overdue.v1";

    /// <summary>A check was closed.</summary>
    public const string CheckClosed = "backtracker.check.closed.v1";

    /// <summary>A finding is out of tolerance.</summary>
    public const string FitOutOfTolerance = "backtracker.fit.out-of-tolerance.v1";

    /// <summary>A finding is within tolerance again, or has been looked at.</summary>
    public const string FitRestored = "backtracker.fit.restored.v1";

    /// <summary>A measuring session was recorded.</summary>
    public const string MeasurementRecorded = "backtracker.measurement.recorded.v1";

    /// <summary>A measuring session had better be taken again.</summary>
    public const string MeasurementRepeatAdvised = "backtracker.measurement.repeat-advised.v1";

    /// <summary>A vet must look first.</summary>
    public const string ObservationVetFirst = "backtracker.observation.vet-first.v1";

    /// <summary>A saddle that is being made will hardly fit on the day it comes home.</summary>
    public const string CommissionAtRisk = "backtracker.commission.at-risk.v1";

    /// <summary>Sent when somebody tests a subscription; nobody subscribes to it.</summary>
    public const string SubscriptionTest = "backtracker.subscription.test.v1";

    /// <summary>Those that can be subscribed to.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        CheckOpened, CheckMoved, CheckBooked, CheckDue, CheckOverdue, CheckClosed, FitOutOfTolerance, FitRestored,
        MeasurementRecorded, MeasurementRepeatAdvised, ObservationVetFirst, CommissionAtRisk,
    ];

    /// <summary>Those of which letters tell; that somebody is booked stands in the letter of the week.</summary>
    public static IReadOnlyList<string> InLetters { get; } =
        [CheckOpened, CheckMoved, CheckBooked, CheckOverdue, CheckClosed, FitOutOfTolerance, FitRestored, ObservationVetFirst, CommissionAtRisk];

    /// <summary>The type under which a piece of news of a problem goes.</summary>
    public static string Of(ProblemKey problem, AlertNews news) => (problem.Concern, problem.Cause, news) switch
    {
        (Concern.Commission, _, _) => CommissionAtRisk,
        (_, _, AlertNews.Overdue) => CheckOverdue,
        (_, Cause.VetFirst, not AlertNews.Settled) => ObservationVetFirst,
        (Concern.Check, Cause.OutNow, AlertNews.Raised) => FitOutOfTolerance,
        (Concern.Check, Cause.OutNow, AlertNews.Settled) => FitRestored,
        (_, _, AlertNews.Settled) => CheckClosed,
        (Concern.Check, _, AlertNews.Raised) => CheckOpened,
        _ => CheckMoved,
    };
}
