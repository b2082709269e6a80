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
}

/// <summary>Letters on their way; written in the transaction of what they tell.</summary>
public static class MessageStore
{
    private const string Columns = "id, subscription_id, yard_id, occasion, body, state, attempts, next_at, last_error, sent_at, created_at";

    /// <summary>Adds a letter to be sent at once.</summary>
    public static Task AddAsync(WriteSession session, MessageRow row) => session.ExecuteAsync(
        """
        insert into messages (id, subscription_id, yard_id, occasion, body, state, attempts, next_at, created_at)
        values (@Id, @SubscriptionId, @YardId, @Occasion, @Body, 'pending', 0, @NextAt, @CreatedAt)
        """, row);

    /// <summary>Letters of a subscription, first to last.</summary>
    public static Task<IReadOnlyList<MessageRow>> OfSubscriptionAsync(ReadSession session, string subscriptionId) => session.ListAsync<MessageRow>(
        $"select {Columns} from messages where subscription_id = @subscriptionId order by id", new { subscriptionId });
}
