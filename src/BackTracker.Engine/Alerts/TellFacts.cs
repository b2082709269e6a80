using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Alerts;

/// <summary>What a receiver is to the yard.</summary>
public enum ReceiverRole
{
    /// <summary>Runs the yard, or an address that belongs to nobody in particular: told first.</summary>
    YardManager,

    /// <summary>A fitter: told of what is booked with them, and of what is overdue for some days.</summary>
    Fitter,

    /// <summary>The owner of the yard: told of what is overdue for longer.</summary>
    Owner,

    /// <summary>Somebody else: told of what is booked with them.</summary>
    Other,
}

/// <summary>Whether letters arrive at an address.</summary>
public enum Mailbox
{
    /// <summary>As far as is known.</summary>
    Takes,

    /// <summary>The last one could not be sent: somebody else must hear what goes there.</summary>
    Refuses,
}

/// <summary>A mail address that is told of a yard.</summary>
/// <param name="Id">Id of the subscription.</param>
/// <param name="Role">What its person is to the yard.</param>
/// <param name="PersonId">The person; empty where it belongs to nobody in particular.</param>
/// <param name="Events">Event types it wants; empty for all.</param>
public sealed record Receiver(string Id, ReceiverRole Role, string PersonId, IReadOnlyList<string> Events)
{
    /// <summary>Whether letters arrive there.</summary>
    public Mailbox Mailbox { get; init; }

    /// <summary>Whether it wants a type of event.</summary>
    public bool Wants(string type) => Events.Count == 0 || Events.Contains(type);
}

/// <summary>An alert, as far as telling of it goes.</summary>
/// <param name="HorseId">The horse.</param>
/// <param name="State">Where it stands.</param>
/// <param name="Problem">The problem.</param>
/// <param name="News">What last happened to it.</param>
/// <param name="Change">Number of that news, from 1.</param>
/// <param name="OverdueSince">First day on which it was overdue unacknowledged; null while it is not.</param>
/// <param name="Comers">People who are booked for it, or who make the saddle it is about.</param>
public sealed record AlertToTell(
    string HorseId, AlertState State, Problem Problem, AlertNews News, long Change, DateOnly? OverdueSince, IReadOnlyList<string> Comers);

/// <summary>A time in which nobody is told, vet-first signs apart.</summary>
/// <param name="HorseId">The horse; empty for the whole yard.</param>
/// <param name="Cause">Only problems of this cause; null for all.</param>
/// <param name="Until">Its last day.</param>
/// <param name="Reason">Why, in words.</param>
public sealed record QuietPeriod(string HorseId, Cause? Cause, DateOnly Until, string Reason)
{
    /// <summary>Whether it keeps an alert quiet on a day; a vet-first sign never is.</summary>
    public bool Covers(AlertToTell alert, DateOnly day) =>
        !alert.Problem.IsVetFirst && day <= Until
        && (HorseId.Length == 0 || HorseId == alert.HorseId) && (Cause is null || Cause == alert.Problem.Key.Cause);
}

/// <summary>On what occasion people are told.</summary>
public enum TellOccasion
{
    /// <summary>Something has just happened, or the night has ended.</summary>
    AtOnce,

    /// <summary>The daily letter.</summary>
    Digest,
}

/// <summary>When it is decided who is told.</summary>
/// <param name="Today">Day on the yard's calendar.</param>
/// <param name="Time">Time on the yard's clock.</param>
/// <param name="Occasion">On what occasion.</param>
public readonly record struct Moment(DateOnly Today, TimeOnly Time, TellOccasion Occasion);

/// <summary>Whether a receiver is told.</summary>
public enum Verdict
{
    /// <summary>Told now.</summary>
    Told,

    /// <summary>Waits for the daily letter.</summary>
    WaitsForDigest,

    /// <summary>Waits for the end of the night.</summary>
    WaitsForMorning,

    /// <summary>Not told while a quiet period lasts.</summary>
    Quiet,

    /// <summary>Not told.</summary>
    NotTold,

    /// <summary>To be told, but the letter or its line did not go.</summary>
    NotSent,
}

/// <summary>Whether a receiver is told of an alert, and why.</summary>
/// <param name="ReceiverId">Who.</param>
/// <param name="Verdict">Whether.</param>
/// <param name="News">What they are told happened.</param>
/// <param name="Reason">Why, in words that follow a colon.</param>
public sealed record TellDecision(string ReceiverId, Verdict Verdict, AlertNews News, string Reason);
