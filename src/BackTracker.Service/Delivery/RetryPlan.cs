using BackTracker.Storage;
using BackTracker.Storage.Outbox;

namespace BackTracker.Service.Delivery;

/// <summary>What a receiver made of a try.</summary>
internal enum ReplyKind
{
    /// <summary>It took it: any 2xx.</summary>
    Taken,

    /// <summary>Anything else, no answer among it.</summary>
    Refused,

    /// <summary>410: it never wants anything again.</summary>
    Gone,
}

/// <summary>What came of one try.</summary>
/// <param name="Kind">What the receiver made of it.</param>
/// <param name="Status">HTTP status; 0 where there was no answer.</param>
/// <param name="Error">What was wrong, in words; empty where nothing was.</param>
/// <param name="Wait">How long the receiver asked to be left alone; zero where it did not.</param>
internal readonly record struct ReceiverReply(ReplyKind Kind, int Status, string Error, TimeSpan Wait)
{
    public static ReceiverReply NoAnswer(string why) => new(ReplyKind.Refused, 0, why, TimeSpan.Zero);
}

/// <summary>
/// When to try again. The steps are those suggested by the Standard Webhooks specification 1.0.0. What one horse's event meets is planned
/// for that event; once several events have failed with none taken between them it is the receiver that is ill, and it is left alone as a
/// whole, asked now and then with a single event.
/// </summary>
internal static class RetryPlan
{
    /// <summary>How long an event is tried.</summary>
    public static readonly TimeSpan Lasts = TimeSpan.FromDays(3);

    private const int FailingBeforeRest = 5;
    private const int LeastTries = 3;
    private const double Jitter = .1;
    private static readonly TimeSpan LongestRest = TimeSpan.FromHours(1);

    private static readonly TimeSpan[] Waits =
    [
        TimeSpan.FromSeconds(5), TimeSpan.FromMinutes(5), TimeSpan.FromMinutes(30), TimeSpan.FromHours(2), TimeSpan.FromHours(5),
        TimeSpan.FromHours(10), TimeSpan.FromHours(14), TimeSpan.FromHours(20), TimeSpan.FromHours(24),
    ];

    /// <summary>What becomes of a delivery after a try.</summary>
    /// <param name="tried">The delivery as it was.</param>
    /// <param name="reply">What came of the try.</param>
    /// <param name="now">The instant.</param>
    /// <param name="luck">Any number from 0 to 1, so that not everything is tried again at one moment.</param>
    public static DeliveryRow After(DeliveryRow tried, ReceiverReply reply, DateTimeOffset now, double luck)
    {
        var after = tried with { Attempts = tried.Attempts + 1, TriedAt = Instants.Write(now), Status = reply.Status, Error = reply.Error };
        if (reply.Kind == ReplyKind.Taken)
            return after with { State = "delivered" };
        var isOld = after.Attempts >= LeastTries && now - Instants.Read(tried.StartedAt) > Lasts;
        if (reply.Kind == ReplyKind.Gone || isOld || after.Attempts > Waits.Length)
            return after with { State = "parked" };
        return after with { NextAt = Instants.Write(now + Longer(Spread(Waits[after.Attempts - 1], luck), reply.Wait)) };
    }

    /// <summary>How the way to a receiver stands after a try.</summary>
    /// <param name="lane">The way as it was.</param>
    /// <param name="reply">What came of the try.</param>
    /// <param name="failing">How many events have failed, this one counted in, since it last took one.</param>
    /// <param name="now">The instant.</param>
    /// <param name="luck">Any number from 0 to 1.</param>
    public static LaneRow After(LaneRow lane, ReceiverReply reply, long failing, DateTimeOffset now, double luck)
    {
        if (reply.Kind == ReplyKind.Taken)
            return lane with { LaneRests = 0, LaneRestingUntil = "", SucceededAt = Instants.Write(now), GoneAt = null };
        if (reply.Kind == ReplyKind.Gone)
            return lane with { GoneAt = Instants.Write(now) };
        var isIll = failing >= FailingBeforeRest;
        var rest = Longer(isIll ? Spread(Rest(lane.LaneRests), luck) : TimeSpan.Zero, reply.Wait);
        return rest == TimeSpan.Zero ? lane : lane with { LaneRests = lane.LaneRests + (isIll ? 1 : 0), LaneRestingUntil = Instants.Write(now + rest) };
    }

    private static TimeSpan Rest(int restsBefore) => TimeSpan.FromMinutes(Math.Min(LongestRest.TotalMinutes, Math.Pow(2, restsBefore)));

    private static TimeSpan Spread(TimeSpan wait, double luck) => wait * (1 + (Jitter * ((2 * luck) - 1)));

    private static TimeSpan Longer(TimeSpan a, TimeSpan b) => a > b ? a : b;
}
