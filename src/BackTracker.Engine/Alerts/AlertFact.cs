namespace BackTracker.Engine.Alerts;

/// <summary>Life of an alert.</summary>
public enum AlertState
{
    /// <summary>Found, and nobody has said that they have seen it.</summary>
    Raised,

    /// <summary>Somebody has seen it: it does not climb to others any more.</summary>
    Acknowledged,

    /// <summary>Gone. Found again, it is another alert.</summary>
    Settled,
}

/// <summary>What last happened to an alert that is worth telling.</summary>
public enum AlertNews
{
    /// <summary>It is new.</summary>
    Raised,

    /// <summary>It became more urgent, or its day moved.</summary>
    Changed,

    /// <summary>Its day has passed and nobody has acknowledged it.</summary>
    Overdue,

    /// <summary>It has gone.</summary>
    Settled,
}

/// <summary>An alert that is open.</summary>
/// <param name="Id">Id of the stored alert.</param>
/// <param name="YardId">The yard in which it was raised.</param>
/// <param name="State">Raised or acknowledged.</param>
/// <param name="Problem">The problem as it was last seen.</param>
/// <param name="OverdueSince">First day on which it was overdue unacknowledged; null while it is not.</param>
public sealed record AlertFact(string Id, string YardId, AlertState State, Problem Problem, DateOnly? OverdueSince)
{
    /// <summary>Day on which it was acknowledged; null while it is not.</summary>
    public DateOnly? AcknowledgedOn { get; init; }
}

/// <summary>What is to be done to the stored alerts.</summary>
public abstract record AlertChange
{
    private AlertChange() { }

    /// <summary>Raise a new alert.</summary>
    /// <param name="Problem">The problem.</param>
    /// <param name="OverdueSince">First day on which it was overdue; null where it is not, as most new ones.</param>
    public sealed record Raise(Problem Problem, DateOnly? OverdueSince) : AlertChange;

    /// <summary>Write down what is no news: words that changed, a booking.</summary>
    /// <param name="AlertId">Which.</param>
    /// <param name="Problem">The problem from now on.</param>
    /// <param name="OverdueSince">First day on which it was overdue unacknowledged; null while it is not.</param>
    public sealed record Refresh(string AlertId, Problem Problem, DateOnly? OverdueSince) : AlertChange;

    /// <summary>Write down what is worth telling.</summary>
    /// <param name="AlertId">Which.</param>
    /// <param name="Problem">The problem from now on.</param>
    /// <param name="OverdueSince">First day on which it was overdue unacknowledged; null while it is not.</param>
    /// <param name="News">Changed or overdue.</param>
    /// <param name="Note">In words.</param>
    public sealed record Report(string AlertId, Problem Problem, DateOnly? OverdueSince, AlertNews News, string Note) : AlertChange;

    /// <summary>Take back that it was acknowledged: it has become worse, or nobody saw to it. A report of it follows.</summary>
    /// <param name="AlertId">Which.</param>
    public sealed record Reopen(string AlertId) : AlertChange;

    /// <summary>Settle an alert whose problem has gone.</summary>
    /// <param name="AlertId">Which.</param>
    /// <param name="Why">By what, in words.</param>
    public sealed record Settle(string AlertId, string Why) : AlertChange;
}
