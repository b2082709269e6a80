using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Outbox;

/// <summary>How the way to one webhook stands. One instance at a time holds it, until its claim runs out.</summary>
public sealed record LaneRow
{
    /// <summary>The subscription.</summary>
    public string Id { get; init; } = "";

    /// <summary>Where it goes.</summary>
    public string Url { get; init; } = "";

    /// <summary>Secret that signs, encrypted.</summary>
    public string Secret { get; init; } = "";

    /// <summary>The secret before the last rotation, encrypted.</summary>
    public string? OldSecret { get; init; }

    /// <summary>Until when that one signs too.</summary>
    public string? OldSecretUntil { get; init; }

    /// <summary>How many times in a row it was left alone because the receiver took nothing.</summary>
    public int LaneRests { get; init; }

    /// <summary>Until when it is left alone; empty where it is not.</summary>
    public string LaneRestingUntil { get; init; } = "";

    /// <summary>When the receiver last took something; null before the first time.</summary>
    public string? SucceededAt { get; init; }

    /// <summary>When the receiver said that it is gone; null while it is not.</summary>
    public string? GoneAt { get; init; }
}

/// <summary>The ways to the webhooks: who holds them, and which rest.</summary>
public static class LaneStore
{
    // Given back, it is free whatever the clock says: it may have been set back since.
    private const string IsFree = "(lane_claim = '' or lane_claimed_until <= @now)";

    /// <summary>Webhooks that have something to be sent now and are held by nobody, the one served longest ago first.</summary>
    public static Task<IReadOnlyList<string>> DueAsync(ReadSession session, DateTimeOffset now) => session.ListAsync<string>(
        $"""
        select s.id from subscriptions s
        where s.channel = 'webhook' and s.ended_at is null and {IsFree} and s.lane_resting_until <= @now
            and exists (select 1 from deliveries d where d.id in ({DeliveryStore.Heads("s.id")}) and {DeliveryStore.IsDue})
        order by s.lane_claimed_until, s.id
        """, new { now = Instants.Write(now) });

    /// <summary>Takes the way to a webhook; false where another has it.</summary>
    /// <param name="session">The transaction.</param>
    /// <param name="id">The subscription.</param>
    /// <param name="claim">A word that nobody else uses.</param>
    /// <param name="until">When it is free again whatever becomes of this process.</param>
    public static async Task<bool> ClaimAsync(WriteSession session, string id, string claim, DateTimeOffset until) => await session.ExecuteAsync(
        $"update subscriptions set lane_claim = @claim, lane_claimed_until = @until where id = @id and {IsFree}",
        new { id, claim, until = Instants.Write(until), now = session.NowText }) == 1;

    /// <summary>The way as it stands; null once it is another's, or the subscription has ended or rests.</summary>
    /// <param name="session">The session.</param>
    /// <param name="id">The subscription.</param>
    /// <param name="claim">The word it was taken with.</param>
    /// <param name="now">The instant.</param>
    /// <param name="until">How long it has to be held at least.</param>
    public static Task<LaneRow?> FindAsync(ReadSession session, string id, string claim, DateTimeOffset now, DateTimeOffset until) => session.FirstAsync<LaneRow>(
        """
        select id, url, secret, old_secret, old_secret_until, lane_rests, lane_resting_until, succeeded_at, gone_at from subscriptions
        where id = @id and lane_claim = @claim and lane_claimed_until >= @until and lane_resting_until <= @now and ended_at is null
        """, new { id, claim, now = Instants.Write(now), until = Instants.Write(until) });

    /// <summary>Writes how it stands and holds it longer; nothing where it is another's by now.</summary>
    public static Task RecordAsync(WriteSession session, LaneRow lane, string claim, DateTimeOffset until) => session.ExecuteAsync(
        """
        update subscriptions set lane_rests = @LaneRests, lane_resting_until = @LaneRestingUntil, succeeded_at = @SucceededAt, gone_at = @GoneAt,
            lane_claimed_until = @until
        where id = @Id and lane_claim = @claim
        """,
        new { lane.LaneRests, lane.LaneRestingUntil, lane.SucceededAt, lane.GoneAt, lane.Id, claim, until = Instants.Write(until) });

    /// <summary>Gives the way back.</summary>
    public static Task ReleaseAsync(WriteSession session, string id, string claim) => session.ExecuteAsync(
        "update subscriptions set lane_claim = '', lane_claimed_until = @now where id = @id and lane_claim = @claim",
        new { id, claim, now = session.NowText });

    /// <summary>Gives every way back: for one who has the store to itself and begins, so that nobody waits for the claims of one that was killed.</summary>
    public static Task ReleaseAllAsync(WriteSession session) => session.ExecuteAsync("update subscriptions set lane_claim = '' where lane_claim <> ''");

    /// <summary>Forgets that the receiver failed: somebody says that it is worth another try.</summary>
    public static Task WakeAsync(WriteSession session, string id) => session.ExecuteAsync(
        "update subscriptions set lane_rests = 0, lane_resting_until = '', gone_at = null where id = @id", new { id });
}
