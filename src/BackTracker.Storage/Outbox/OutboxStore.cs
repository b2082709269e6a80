using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Outbox;

/// <summary>Something that happened, as receivers are told of it.</summary>
public sealed record OutboxRow
{
    /// <summary>Id; the same in every try and for every receiver.</summary>
    public string Id { get; init; } = "";

    /// <summary>Type of the event.</summary>
    public string Type { get; init; } = "";

    /// <summary>The yard; null for a test of a subscription.</summary>
    public string? YardId { get; init; }

    /// <summary>The horse; null for a test of a subscription.</summary>
    public string? HorseId { get; init; }

    /// <summary>Place among the horse's events, of fixed width; empty for a test.</summary>
    public string Sequence { get; init; } = "";

    /// <summary>When it happened.</summary>
    public string HappenedAt { get; init; } = "";

    /// <summary>The bytes that are sent, as text.</summary>
    public string Body { get; init; } = "";

    /// <summary>The trace of the request that brought it about, as W3C traceparent; empty where none did.</summary>
    public string Traceparent { get; init; } = "";
}

/// <summary>What happened, written in the transaction of what it reports.</summary>
public static class OutboxStore
{
    /// <summary>The next place among a horse's events. Held until the transaction ends, so that places and commits are in one order.</summary>
    public static async Task<string> NextSequenceAsync(WriteSession session, string horseId) => Sequence(await TakePlacesAsync(session, horseId, 1) + 1);

    /// <summary>Takes several places among a horse's events; returns the last one before them.</summary>
    public static async Task<long> TakePlacesAsync(WriteSession session, string horseId, int places) =>
        await session.FirstAsync<long>("update horses set event_count = event_count + @places where id = @horseId returning event_count", new { horseId, places }) - places;

    /// <summary>A place as text of fixed width.</summary>
    public static string Sequence(long place) => place.ToString("D12", System.Globalization.CultureInfo.InvariantCulture);

    /// <summary>Adds an event and a delivery of it to every living webhook of its yard that wants its type.</summary>
    public static async Task AddAsync(WriteSession session, OutboxRow happening)
    {
        await InsertAsync(session, happening);
        foreach (var subscriptionId in await ReceiversAsync(session, happening.Type, happening.YardId))
            await DeliveryStore.AddAsync(session, subscriptionId, happening);
    }

    /// <summary>
    /// Adds many events and their deliveries; the events are gone through once and once more for every receiver, and must be the same each time.
    /// One that nobody is subscribed to is not written: a book of years would leave thousands that nobody ever reads.
    /// </summary>
    /// <param name="session">The transaction of what they tell of.</param>
    /// <param name="kinds">The types and yards that they may be of.</param>
    /// <param name="happenings">The events.</param>
    public static async Task AddManyAsync(WriteSession session, IEnumerable<(string Type, string YardId)> kinds, IEnumerable<OutboxRow> happenings)
    {
        var wanted = new List<(string Type, string YardId, string SubscriptionId)>();
        foreach (var (type, yardId) in kinds)
            wanted.AddRange((await ReceiversAsync(session, type, yardId)).Select(subscriptionId => (type, yardId, subscriptionId)));
        if (wanted.Count == 0)
            return;
        await session.WriteRowsAsync(
            "outbox", ["id", "type", "yard_id", "horse_id", "sequence", "happened_at", "body", "traceparent"],
            happenings.Where(h => wanted.Exists(w => w.Type == h.Type && w.YardId == h.YardId))
                .Select(h => new object?[] { h.Id, h.Type, h.YardId, h.HorseId, h.Sequence, h.HappenedAt, h.Body, h.Traceparent }));
        foreach (var (type, yardId, subscriptionId) in wanted)
            await DeliveryStore.AddManyAsync(session, subscriptionId, happenings.Where(h => h.Type == type && h.YardId == yardId));
    }

    private static Task<IReadOnlyList<string>> ReceiversAsync(WriteSession session, string type, string? yardId) => session.ListAsync<string>(
        """
        select s.id from subscriptions s
        where s.channel = 'webhook' and s.ended_at is null and (s.events = '[]' or s.events like @wanted)
            and (s.every_yard = 1 or exists (select 1 from subscription_yards y where y.subscription_id = s.id and y.yard_id = @yardId))
        order by s.id
        """, new { wanted = $"%\"{type}\"%", yardId });

    /// <summary>Adds an event that one subscription alone is told of; returns the id of its delivery.</summary>
    public static async Task<string> AddForAsync(WriteSession session, OutboxRow happening, string subscriptionId)
    {
        await InsertAsync(session, happening);
        return await DeliveryStore.AddAsync(session, subscriptionId, happening);
    }

    /// <summary>Forgets events older than 30 days with their deliveries; what is still to be delivered is kept.</summary>
    public static async Task ForgetOldAsync(WriteSession session)
    {
        var before = Instants.Write(session.Now.AddDays(-30));
        await session.ExecuteAsync(
            "delete from deliveries where state <> 'pending' and coalesce(tried_at, '') < @before and event_id in (select id from outbox where happened_at < @before)", new { before });
        await session.ExecuteAsync(
            "delete from outbox where happened_at < @before and not exists (select 1 from deliveries d where d.event_id = outbox.id)", new { before });
    }

    private static async Task InsertAsync(WriteSession session, OutboxRow happening) => await session.ExecuteAsync(
        """
        insert into outbox (id, type, yard_id, horse_id, sequence, happened_at, body, traceparent)
        values (@Id, @Type, @YardId, @HorseId, @Sequence, @HappenedAt, @Body, @Traceparent)
        """, happening);
}
