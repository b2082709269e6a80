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
/// Who hears first of an alert, and to whom it climbs while it is overdue and nobody has acknowledged it. The lowest step on which somebody
/// can hear it hears first: with no manager's address, or none that takes letters and wants this event, it is the fitter, failing
/// that the owner, failing that whoever is there. A sign for the vet goes unheard for want of the right role or filter never.
/// </summary>
internal sealed class Ladder
{
    private readonly AlertToTell _alert;
    private readonly AlertPolicy _policy;
    private readonly IReadOnlyList<Receiver> _ears;
    private readonly ReceiverRole _first;

    /// <param name="alert">The alert.</param>
    /// <param name="receivers">Everybody who may be told of its yard.</param>
    /// <param name="policy">Settings.</param>
    public Ladder(AlertToTell alert, IReadOnlyList<Receiver> receivers, AlertPolicy policy)
    {
        (_alert, _policy) = (alert, policy);
        var willing = receivers.Where(receiver => Wants(receiver, AlertNews.Raised) || Wants(receiver, alert.News)).ToList();
        _ears = new[] { Reached(willing), alert.Problem.IsVetFirst ? Reached(receivers) : [], willing, receivers }.FirstOrDefault(ears => ears.Count > 0, []);
        _first = _ears.Select(receiver => receiver.Role).DefaultIfEmpty(ReceiverRole.YardManager).Min();
    }

    /// <summary>Whether a receiver may be told a piece of news. A filter that leaves a sign for the vet out does not count where nobody else would hear it.</summary>
    public bool Hears(Receiver receiver, AlertNews news) => Wants(receiver, news)
        || (_alert.Problem.IsVetFirst && news != AlertNews.Settled && (Wants(receiver, AlertNews.Raised) || (receiver.Role == _first && _ears.Contains(receiver))));

    public Step StepOf(Receiver receiver, DateOnly today)
    {
        if (receiver.PersonId.Length > 0 && _alert.Comers.Contains(receiver.PersonId))
            return new(Hearing.Theirs, IsOfCommission ? "they make the saddle" : "booked with them");
        if (receiver.Role <= _first)
            return new(Hearing.Theirs, "told first");
        // Somebody else's visit is for somebody else to sort out, until it reaches the owner; a saddle is fitted by another than who makes it.
        if (receiver.Role == ReceiverRole.Other || (receiver.Role == ReceiverRole.Fitter && _alert.Comers.Count > 0 && !IsOfCommission))
            return new(Hearing.NotYet, "told only of what is booked with them");
        var days = receiver.Role == ReceiverRole.Owner ? _policy.OwnerAfterDays : _policy.FitterAfterDays;
        if (_alert.OverdueSince is not { } since)
            return new(Hearing.NotYet, $"others are told first; theirs once it is {Words.Span(days)} overdue");
        if (_alert.State == AlertState.Acknowledged && !_alert.Problem.WantsVet(today))
            return new(Hearing.NotYet, "acknowledged: it climbs no further");
        return today >= since.AddDays(days)
            ? new(Hearing.Climbed, $"overdue since {Words.Day(since)} and acknowledged by nobody")
            : new(Hearing.NotYet, $"others are told first; theirs from {Words.Day(since.AddDays(days))} on");
    }

    private bool IsOfCommission => _alert.Problem.Key.Concern == Concern.Commission;

    private static IReadOnlyList<Receiver> Reached(IReadOnlyList<Receiver> receivers) => [.. receivers.Where(receiver => receiver.Mailbox == Mailbox.Takes)];

    private bool Wants(Receiver receiver, AlertNews news) => receiver.Wants(EventTypes.Of(_alert.Problem.Key, news));

    /// <summary>Where a receiver stands, and why.</summary>
    public readonly record struct Step(Hearing Hears, string Reason);
}
