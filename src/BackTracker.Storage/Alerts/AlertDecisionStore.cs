using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Alerts;

/// <summary>Whether a receiver was told of an alert, and why.</summary>
public sealed record AlertDecisionRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The alert.</summary>
    public string AlertId { get; init; } = "";

    /// <summary>Who.</summary>
    public string SubscriptionId { get; init; } = "";

    /// <summary>The name of the person who reads it; not a column of its own.</summary>
    public string? PersonName { get; init; }

    /// <summary>The mail address; not a column of its own.</summary>
    public string? Email { get; init; }

    /// <summary>Number of the news.</summary>
    public long ChangeNo { get; init; }

    /// <summary>What they are told happened.</summary>
    public string News { get; init; } = "";

    /// <summary>Whether, as a word.</summary>
    public string Verdict { get; init; } = "";

    /// <summary>Why, in words.</summary>
    public string Reason { get; init; } = "";

    /// <summary>The letter in which they were told.</summary>
    public string? MessageId { get; init; }

    /// <summary>Where that letter stands; null where there is none or it is forgotten. Not a column of its own.</summary>
    public string? MessageState { get; init; }

    /// <summary>When it was sent; not a column of its own.</summary>
    public string? SentAt { get; init; }

    /// <summary>When it was decided.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Decisions to tell and not to tell; append-only, but for what became of the letter.</summary>
public static class AlertDecisionStore
{
    private const string Select =
        """
        select d.id, d.alert_id, d.subscription_id, p.name as person_name, s.email, d.change_no, d.news, d.verdict, d.reason, d.message_id, m.state as message_state,
            m.sent_at, d.created_at
        from alert_decisions d join subscriptions s on s.id = d.subscription_id left join people p on p.id = s.person_id left join messages m on m.id = d.message_id
        """;

    /// <summary>Decisions about an alert, first to last.</summary>
    public static async Task<Paged<AlertDecisionRow>> ListAsync(ReadSession session, string alertId, Page page) => Paged<AlertDecisionRow>.From(
        await session.ListAsync<AlertDecisionRow>(
            $"{Select} where d.alert_id = @alertId and d.id > @After order by d.id limit @LimitAndOne", new { alertId, page.After, page.LimitAndOne }),
        page, d => d.Id);

    /// <summary>Every decision about some alerts, first to last.</summary>
    public static Task<IReadOnlyList<AlertDecisionRow>> OfAlertsAsync(ReadSession session, IReadOnlyList<string> alertIds) => session.ListAsync<AlertDecisionRow>(
        $"{Select} where {session.Among("d.alert_id", "alertIds")} order by d.id", new { alertIds });

    /// <summary>Decisions that led to a letter.</summary>
    public static Task<IReadOnlyList<AlertDecisionRow>> OfMessageAsync(ReadSession session, string messageId) =>
        session.ListAsync<AlertDecisionRow>($"{Select} where d.message_id = @messageId order by d.id", new { messageId });

    /// <summary>The letter did not go, or went without what was to be told.</summary>
    public static Task NoteNotSentAsync(WriteSession session, string id, string reason) =>
        session.ExecuteAsync("update alert_decisions set verdict = 'not-sent', reason = @reason where id = @id", new { id, reason });

    /// <summary>A letter that had been given up was sent after all: what nobody told meanwhile is told by it.</summary>
    public static Task NoteSentAsync(WriteSession session, string id) => session.ExecuteAsync(
        """
        update alert_decisions set verdict = 'told', reason = 'sent after all'
        where id = @id and verdict = 'not-sent' and not exists (
            select 1 from alert_decisions t
            where t.alert_id = alert_decisions.alert_id and t.subscription_id = alert_decisions.subscription_id
                and t.change_no = alert_decisions.change_no and t.verdict = 'told')
        """, new { id });

    /// <summary>Adds a decision.</summary>
    public static Task AddAsync(WriteSession session, AlertDecisionRow decision) => session.ExecuteAsync(
        """
        insert into alert_decisions (id, alert_id, subscription_id, change_no, news, verdict, reason, message_id, created_at)
        values (@Id, @AlertId, @SubscriptionId, @ChangeNo, @News, @Verdict, @Reason, @MessageId, @CreatedAt)
        """, decision);
}
