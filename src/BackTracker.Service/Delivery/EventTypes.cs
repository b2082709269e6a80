namespace BackTracker.Service.Delivery;

/// <summary>What receivers can be told of. A type never changes its meaning; a new meaning is a new version.</summary>
internal static class EventTypes
{
    public const string CheckOpened = "backtracker.check.opened.v1";
    public const string CheckMoved = "backtracker.check.moved.v1";
    public const string CheckBooked = "backtracker.check.booked.v1";
    public const string CheckDue = "backtracker.check.due.v1";
    public const string CheckOverdue = "backtracker.check.overdue.v1";
    public const string CheckClosed = "backtracker.check.closed.v1";
    public const string FitOutOfTolerance = "backtracker.fit.out-of-tolerance.v1";
    public const string FitRestored = "backtracker.fit.restored.v1";
    public const string MeasurementRecorded = "backtracker.measurement.recorded.v1";
    public const string MeasurementRepeatAdvised = "backtracker.measurement.repeat-advised.v1";
    public const string ObservationVetFirst = "backtracker.observation.vet-first.v1";

    /// <summary>Sent when somebody tests a subscription; nobody subscribes to it.</summary>
    public const string SubscriptionTest = "backtracker.subscription.test.v1";

    /// <summary>Those that can be subscribed to.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        CheckOpened, CheckMoved, CheckBooked, CheckDue, CheckOverdue, CheckClosed, FitOutOfTolerance, FitRestored,
        MeasurementRecorded, MeasurementRepeatAdvised, ObservationVetFirst,
    ];
}
