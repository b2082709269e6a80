using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Messages;

/// <summary>A letter on its way to a mail address.</summary>
public sealed record MessageRow
{
    /// <summary>Id; the letter's Message-ID is made of it, so that a letter sent twice can be told.</summary>
    public string Id { get; init; } = "";

    /// <summary>Who gets it.</summary>
    public string SubscriptionId { get; init; } = "";

    /// <summary>The yard it speaks of; null for a confirmation.</summary>
    public string? YardId { get; init; }

    /// <summary>"at-once", "digest", "week" or "confirm".</summary>
    public string Occasion { get; init; } = "";

    /// <summary>What it says, as JSON.</summary>
    public string Body { get; init; } = "{}";

    /// <summary>"pending", "sent" or "parked".</summary>
    public string State { get; init; } = "pending";

    /// <summary>How often it was tried.</summary>
    public long Attempts { get; init; }

    /// <summary>When to try next.</summary>
    public string NextAt { get; init; } = "";

    /// <summary>What went wrong last.</summary>
    public string? LastError { get; init; }

    /// <summary>When the mail server took it.</summary>
    public string? SentAt { get; init; }

    /// <summary>When it was written.</summary>
    public string CreatedAt { get; init; } = "";

    /// <summary>Until when somebody has it in hand to send it; a claim that has run out is nobody's.</summary>
    public string? ClaimedUntil { get; init; }
}

/// <summary>Letters on their way; written in the transaction of what they tell.</summary>
public static class MessageStore
{
    private const string Columns = "id, subscription_id, yard_id, occasion, body, state, attempts, next_at, last_error, sent_at, created_at, claimed_until";

    // A letter that has failed that often lets later ones pass.
    private const int HoldsUpTries = 2;

    // What was never tried is due whatever the clock says: it may have been set back since.
    private const string IsFree = "state = 'pending' and (attempts = 0 or next_at <= @now) and (claimed_until is null or claimed_until <= @now)";

    /// <summary>Adds a letter to be sent at once.</summary>
    public static Task AddAsync(WriteSession session, MessageRow row)
    {
        session.Mailed = true;
        return session.ExecuteAsync(
            """
            insert into messages (id, subscription_id, yard_id, occasion, body, state, attempts, next_at, created_at)
            values (@Id, @SubscriptionId, @YardId, @Occasion, @Body, 'pending', 0, @NextAt, @CreatedAt)
            """, row);
    }

    /// <summary>The latest letters of a subscription, the last first.</summary>
    public static Task<IReadOnlyList<MessageRow>> LatestAsync(ReadSession session, string subscriptionId, int most) => session.ListAsync<MessageRow>(
        $"select {Columns} from messages where subscription_id = @subscriptionId order by id desc limit @most", new { subscriptionId, most });

    /// <summary>Letters of a subscription, first to last.</summary>
    public static async Task<Paged<MessageRow>> ListAsync(ReadSession session, string subscriptionId, Page page) => Paged<MessageRow>.From(
        await session.ListAsync<MessageRow>(
            $"select {Columns} from messages where subscription_id = @subscriptionId and id > @After order by id limit @LimitAndOne",
            new { subscriptionId, page.After, page.LimitAndOne }),
        page, m => m.Id);

    /// <summary>A letter of a subscription.</summary>
    public static Task<MessageRow?> FindAsync(ReadSession session, string subscriptionId, string id) => session.FirstAsync<MessageRow>(
        $"select {Columns} from messages where subscription_id = @subscriptionId and id = @id", new { subscriptionId, id });

    /// <summary>The last letter that asked for the confirmation of an address.</summary>
    public static Task<MessageRow?> LastConfirmationAsync(ReadSession session, string subscriptionId) => session.FirstAsync<MessageRow>(
        $"select {Columns} from messages where subscription_id = @subscriptionId and occasion = 'confirm' order by id desc limit 1", new { subscriptionId });

    /// <summary>
    /// Takes a letter in hand, what cannot wait before what can, and counts the try. Letters of one receiver go in the order in which they
    /// were written, but what cannot wait does not wait for what can. Null where none is due, or another instance took the same one first.
    /// Where whoever has it dies, it is free again when the lease has run out.
    /// </summary>
    public static Task<MessageRow?> ClaimAsync(WriteSession session, TimeSpan lease) => session.FirstAsync<MessageRow>(
        $"""
        update messages set claimed_until = @until, attempts = attempts + 1
        where id = (
            select id from messages m
            where {IsFree} and not exists (
                select 1 from messages e
                where e.subscription_id = m.subscription_id and e.id < m.id and e.state = 'pending' and e.attempts < {HoldsUpTries}
                    and (m.occasion <> 'at-once' or e.occasion = 'at-once'))
            order by case occasion when 'at-once' then 0 else 1 end, next_at, id limit 1) and {IsFree}
        returning {Columns}
        """,
        new { now = session.NowText, until = Instants.Write(session.Now + lease) });

    /// <summary>Gives a letter back as it was before it was claimed.</summary>
    public static Task ReleaseAsync(WriteSession session, MessageRow claimed) => session.ExecuteAsync(
        "update messages set claimed_until = null, attempts = attempts - 1 where id = @Id and claimed_until = @ClaimedUntil", claimed);

    /// <summary>
    /// The mail server took it: that holds even where the claim has run out meanwhile. The word that confirms an address is kept no longer
    /// than it has to be.
    /// </summary>
    public static Task NoteSentAsync(WriteSession session, string id) => session.ExecuteAsync(
        """
        update messages set state = 'sent', sent_at = @now, last_error = null, claimed_until = null, body = case when occasion = 'confirm' then '{}' else body end
        where id = @id
        """, new { id, now = session.NowText });

    /// <summary>It could not be sent: it is tried again.</summary>
    public static Task PutOffAsync(WriteSession session, MessageRow claimed, DateTimeOffset until, string error) => session.ExecuteAsync(
        "update messages set next_at = @until, last_error = @error, claimed_until = null where id = @Id and claimed_until = @ClaimedUntil",
        new { claimed.Id, claimed.ClaimedUntil, until = Instants.Write(until), error });

    /// <summary>It is not tried again unless a person asks for it; false where the claim has run out and somebody else has it in hand.</summary>
    public static async Task<bool> ParkAsync(WriteSession session, MessageRow claimed, string error) => await session.ExecuteAsync(
        "update messages set state = 'parked', last_error = @error, claimed_until = null where id = @Id and claimed_until = @ClaimedUntil",
        new { claimed.Id, claimed.ClaimedUntil, error }) == 1;

    /// <summary>
    /// Forgets letters older than 30 days that are not tried any more; of those in which somebody was told of an alert what they said alone,
    /// so that it can still be seen that they were told. A word that confirms an address goes as soon as it does not work any more.
    /// </summary>
    public static async Task ForgetOldAsync(WriteSession session, DateTimeOffset lettersBefore, DateTimeOffset wordsBefore)
    {
        var before = new { letters = Instants.Write(lettersBefore), words = Instants.Write(wordsBefore) };
        await session.ExecuteAsync(
            """
            delete from messages where state <> 'pending' and created_at < @letters
                and not exists (select 1 from alert_decisions d where d.message_id = messages.id)
            """, before);
        await session.ExecuteAsync(
            """
            update messages set body = '{}'
            where state <> 'pending' and body <> '{}' and (created_at < @letters or occasion = 'confirm' and created_at < @words)
            """, before);
    }

    /// <summary>Tries a letter again at once; false where it was sent already, or what it said was forgotten.</summary>
    public static async Task<bool> RetryAsync(WriteSession session, string id)
    {
        session.Mailed = true;
        return await session.ExecuteAsync(
            "update messages set state = 'pending', next_at = @now where id = @id and state <> 'sent' and body <> '{}'", new { id, now = session.NowText }) == 1;
    }
}
