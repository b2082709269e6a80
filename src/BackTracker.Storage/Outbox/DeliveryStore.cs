using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Outbox;

/// <summary>An event on its way to one subscription.</summary>
public sealed record DeliveryRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>Who is told.</summary>
    public string SubscriptionId { get; init; } = "";

    /// <summary>The event.</summary>
    public string EventId { get; init; } = "";

    /// <summary>Type of the event.</summary>
    public string Type { get; init; } = "";

    /// <summary>The horse; null for a test.</summary>
    public string? HorseId { get; init; }

    /// <summary>Place among the horse's events; empty for a test.</summary>
    public string Sequence { get; init; } = "";

    /// <summary>"pending", "delivered" or "parked".</summary>
    public string State { get; init; } = "";

    /// <summary>How often it was tried since <see cref="StartedAt"/>.</summary>
    public int Attempts { get; init; }

    /// <summary>When trying began: with the event, or anew when somebody asked for it.</summary>
    public string StartedAt { get; init; } = "";

    /// <summary>When to try next.</summary>
    public string NextAt { get; init; } = "";

    /// <summary>When it was tried last; null before the first try.</summary>
    public string? TriedAt { get; init; }

    /// <summary>HTTP status of the last try; 0 where there was no answer.</summary>
    public int Status { get; init; }

    /// <summary>What went wrong last; empty where nothing did.</summary>
    public string Error { get; init; } = "";

    /// <summary>When it was written.</summary>
    public string CreatedAt { get; init; } = "";

    /// <summary>The bytes to send, as text.</summary>
    public string Body { get; init; } = "";

    /// <summary>The trace of the request that brought it about; empty where none did.</summary>
    public string Traceparent { get; init; } = "";
}

/// <summary>Events on their way to subscriptions.</summary>
public static class DeliveryStore
{
    /// <summary>What is said of everything for a receiver that is gone.</summary>
    public const string Gone = "The receiver answered 410, that it is gone for good: nothing more is sent there until somebody asks for it.";

    // What was never tried is due whatever the clock says: it may have been set back since.
    internal const string IsDue = "d.state = 'pending' and (d.attempts = 0 or d.next_at <= @now)";

    private const string Select =
        """
        select d.id, d.subscription_id, d.event_id, o.type, d.horse_id, d.sequence, d.state, d.attempts, d.started_at, d.next_at,
            d.tried_at, d.status, d.error, d.created_at, o.body, o.traceparent
        from deliveries d join outbox o on o.id = d.event_id
        """;

    /// <summary>Adds a delivery to be made at once, or to be shown where the receiver has said that it is gone; returns its id.</summary>
    internal static async Task<string> AddAsync(WriteSession session, string subscriptionId, OutboxRow happening)
    {
        var id = session.NewId();
        await session.ExecuteAsync(
            """
            insert into deliveries (id, subscription_id, event_id, horse_id, sequence, state, attempts, started_at, next_at, tried_at, status, error, created_at)
            select @id, s.id, @EventId, @HorseId, @Sequence, case when s.gone_at is null then 'pending' else 'parked' end, 0, @now, @now, null, 0,
                case when s.gone_at is null then '' else @gone end, @now
            from subscriptions s where s.id = @subscriptionId
            """, new { id, subscriptionId, EventId = happening.Id, happening.HorseId, happening.Sequence, gone = Gone, now = session.NowText });
        session.Delivering = true;
        return id;
    }

    /// <summary>Since when the event waits that has waited longest for a webhook; null where none waits.</summary>
    public static Task<string?> OldestAsync(ReadSession session) => session.FirstAsync<string>("select min(created_at) from deliveries where state = 'pending'");

    /// <summary>How many deliveries wait.</summary>
    public static Task<long> CountAsync(ReadSession session) => session.FirstAsync<long>("select count(*) from deliveries where state = 'pending'");

    /// <summary>Adds many deliveries to one subscription.</summary>
    internal static async Task AddManyAsync(WriteSession session, string subscriptionId, IEnumerable<OutboxRow> happenings)
    {
        var isGone = await session.FirstAsync<long>("select count(*) from subscriptions where id = @subscriptionId and gone_at is not null", new { subscriptionId }) > 0;
        var (state, error, now) = (isGone ? "parked" : "pending", isGone ? Gone : "", session.NowText);
        await session.WriteRowsAsync(
            "deliveries",
            ["id", "subscription_id", "event_id", "horse_id", "sequence", "state", "attempts", "started_at", "next_at", "status", "error", "created_at"],
            happenings.Select(h => new object?[] { session.NewId(), subscriptionId, h.Id, h.HorseId, h.Sequence, state, 0L, now, now, 0L, error, now }));
        session.Delivering = true;
    }

    /// <summary>A delivery of a subscription.</summary>
    public static Task<DeliveryRow?> FindAsync(ReadSession session, string subscriptionId, string id) => session.FirstAsync<DeliveryRow>(
        $"{Select} where d.id = @id and d.subscription_id = @subscriptionId", new { id, subscriptionId });

    /// <summary>The latest deliveries of a subscription, the last first.</summary>
    public static Task<IReadOnlyList<DeliveryRow>> LatestAsync(ReadSession session, string subscriptionId, int most) => session.ListAsync<DeliveryRow>(
        $"{Select} where d.subscription_id = @subscriptionId order by d.id desc limit @most", new { subscriptionId, most });

    /// <summary>Deliveries of a subscription in the order they were written.</summary>
    public static async Task<Paged<DeliveryRow>> ListAsync(ReadSession session, string subscriptionId, string? state, Page page) => Paged<DeliveryRow>.From(
        await session.ListAsync<DeliveryRow>(
            $"""
            {Select}
            where d.subscription_id = @subscriptionId and d.id > @After {state.Asks("d.state = @state")}
            order by d.id limit @LimitAndOne
            """, new { subscriptionId, state, page.After, page.LimitAndOne }),
        page, d => d.Id);

    /// <summary>
    /// The next to make, of those that may be sent (<see cref="Heads"/>), each of another horse. Many at a time, since to find them takes longer the
    /// more horses wait. Whoever only asks whether the receiver is there again gets one, of those that were tried least, so that it is not
    /// always the same bad one.
    /// </summary>
    public static Task<IReadOnlyList<DeliveryRow>> NextAsync(ReadSession session, LaneRow lane, DateTimeOffset now, int most) => session.ListAsync<DeliveryRow>(
        $"""
        {Select}
        where d.id in ({Heads("@Id")}) and {IsDue}
        order by case when @LaneRests > 0 then d.attempts else 0 end, d.next_at, d.id limit @most
        """, new { lane.Id, lane.LaneRests, now = Instants.Write(now), most = lane.LaneRests > 0 ? 1 : most });

    /// <summary>
    /// What may be sent to a subscription: of each horse only its first that is pending, so that a horse's events arrive in order. Goes from
    /// horse to horse by the index, and so takes no longer where much waits behind one that fails.
    /// </summary>
    /// <param name="subscription">The column or parameter of its id.</param>
    internal static string Heads(string subscription) =>
        $"""
        with recursive waiting (horse_id) as (
            select min(d.horse_id) from deliveries d where d.subscription_id = {subscription} and d.state = 'pending'
            union all
            select (select min(d.horse_id) from deliveries d where d.subscription_id = {subscription} and d.state = 'pending' and d.horse_id > w.horse_id)
            from waiting w where w.horse_id is not null
        )
        select (select d.id from deliveries d where d.subscription_id = {subscription} and d.state = 'pending' and d.horse_id = w.horse_id order by d.sequence limit 1) as id
        from waiting w where w.horse_id is not null
        union all
        select d.id from deliveries d where d.subscription_id = {subscription} and d.state = 'pending' and d.horse_id is null
        """;

    /// <summary>Deliveries that failed since the receiver last took one; there is one a horse at most.</summary>
    public static Task<long> FailingAsync(ReadSession session, LaneRow lane) => session.FirstAsync<long>(
        """
        select count(*) from deliveries where subscription_id = @Id and state = 'pending' and attempts > 0 and tried_at > coalesce(@SucceededAt, '')
        """, lane);

    /// <summary>Writes what came of a try, unless somebody asked for another meanwhile.</summary>
    public static Task RecordAsync(WriteSession session, DeliveryRow tried) => session.ExecuteAsync(
        """
        update deliveries set state = @State, attempts = @Attempts, next_at = @NextAt, tried_at = @TriedAt, status = @Status, error = @Error
        where id = @Id and state = 'pending' and started_at = @StartedAt
        """, tried);

    /// <summary>Parks what is pending and began before a time, with the reason.</summary>
    public static Task ParkAsync(WriteSession session, string subscriptionId, DateTimeOffset startedBefore, string why) => session.ExecuteAsync(
        """
        update deliveries set state = 'parked', error = @why where subscription_id = @subscriptionId and state = 'pending' and started_at <= @before
        """, new { subscriptionId, why, before = Instants.Write(startedBefore) });

    /// <summary>Begins a delivery anew.</summary>
    public static async Task RetryAsync(WriteSession session, string id)
    {
        await session.ExecuteAsync(
            "update deliveries set state = 'pending', attempts = 0, started_at = @now, next_at = @now where id = @id", new { id, now = session.NowText });
        session.Delivering = true;
    }
}
