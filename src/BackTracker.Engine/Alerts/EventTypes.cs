using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Alerts;

/// <summary>The event types under which subscriptions choose what they are told.</summary>
public static class EventTypes
{
    /// <summary>A vet must look first.</summary>
    public const string VetFirst = "backtracker.observation.vet-first.v1";

    /// <summary>A finding is out of tolerance.</summary>
    public const string OutOfTolerance = "backtracker.fit.out-of-tolerance.v1";

    /// <summary>A finding is within tolerance again, or has been looked at.</summary>
    public const string Restored = "backtracker.fit.restored.v1";

    /// <summary>A check was opened.</summary>
    public const string Opened = "backtracker.check.opened.v1";

    /// <summary>A check's day or urgency changed, or a booking became too late.</summary>
    public const string Moved = "backtracker.check.moved.v1";

    /// <summary>A check is overdue.</summary>
    public const string Overdue = "backtracker.check.overdue.v1";

    /// <summary>A check was closed.</summary>
    public const string Closed = "backtracker.check.closed.v1";

    /// <summary>The type under which a piece of news goes.</summary>
    public static string Of(ProblemKey problem, AlertNews news) => (problem.Concern, problem.Cause, news) switch
    {
        (_, _, AlertNews.Overdue) => Overdue,
        (_, Cause.VetFirst, not AlertNews.Settled) => VetFirst,
        (Concern.Check, Cause.OutNow, AlertNews.Raised) => OutOfTolerance,
        (Concern.Check, Cause.OutNow, AlertNews.Settled) => Restored,
        (_, _, AlertNews.Settled) => Closed,
        (Concern.Check, _, AlertNews.Raised) => Opened,
        _ => Moved,
    };
}
