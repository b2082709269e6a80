namespace BackTracker.Engine.Alerts;

/// <summary>Whether a receiver hears of an alert they were never told of.</summary>
internal enum Hearing
{
    /// <summary>It is theirs to hear.</summary>
    Theirs,

    /// <summary>It has climbed to them.</summary>
    Climbed,

    /// <summary>Others are told first.</summary>
    NotYet,
}

/// <summary>
/// Who hears first, and to whom an alert climbs that is overdue and that nobody has acknowledged. The lowest step on which somebody stands
/// hears first: in a yard with no manager's address it is the fitter, failing that the owner, failing that whoever
/// is there: a sign for the vet never goes unheard for want of the right role.
/// </summary>
/// <param name="receivers">Everybody who may be told of the yard.</param>
/// <param name="policy">Settings.</param>
internal sealed class Ladder(IReadOnlyList<Receiver> receivers, AlertPolicy policy)
{
    private readonly ReceiverRole _first = receivers.Select(receiver => receiver.Role).DefaultIfEmpty(ReceiverRole.YardManager).Min();

    public Step StepOf(AlertToTell alert, Receiver receiver, DateOnly today)
    {
        if (receiver.PersonId.Length > 0 && alert.Comers.Contains(receiver.PersonId))
            return new(Hearing.Theirs, "booked with them");
        if (receiver.Role == _first)
            return new(Hearing.Theirs, "told first");
        // Somebody else's visit is for somebody else to sort out, until it reaches the owner.
        if (receiver.Role == ReceiverRole.Other || (receiver.Role == ReceiverRole.Fitter && alert.Comers.Count > 0))
            return new(Hearing.NotYet, "told only of what is booked with them");
        var days = receiver.Role == ReceiverRole.Owner ? policy.OwnerAfterDays : policy.FitterAfterDays;
        if (alert.OverdueSince is not { } since)
            return new(Hearing.NotYet, $"others are told first; theirs once it is {Words.Span(days)} overdue");
        if (alert.State == AlertState.Acknowledged)
            return new(Hearing.NotYet, "acknowledged: it climbs no further");
        return today >= since.AddDays(days)
            ? new(Hearing.Climbed, $"overdue since {Words.Day(since)} and acknowledged by nobody")
            : new(Hearing.NotYet, $"others are told first; theirs from {Words.Day(since.AddDays(days))} on");
    }

    /// <summary>Where a receiver stands, and why.</summary>
    public readonly record struct Step(Hearing Hears, string Reason);
}
