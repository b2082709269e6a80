using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Horses;

/// <summary>A dated event of a horse.</summary>
public sealed record EventRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>Its day.</summary>
    public string OnDay { get; init; } = "";

    /// <summary>What happened, as a word.</summary>
    public string Kind { get; init; } = "";

    /// <summary>1 where it was planned ahead.</summary>
    public int Planned { get; init; }

    /// <summary>Anything else.</summary>
    public string? Note { get; init; }

    /// <summary>When it was voided; null while it counts.</summary>
    public string? VoidedAt { get; init; }

    /// <summary>Why it was voided.</summary>
    public string? VoidReason { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was recorded.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Events of horses.</summary>
public static class EventStore
{
    private const string Select =
        """
        select e.id, e.horse_id, e.on_day, e.kind, e.planned, e.note, e.voided_at, e.void_reason, e.version, e.created_at
        from events e join horses h on h.id = e.horse_id
        """;

    /// <summary>An event of a horse the caller may see.</summary>
    public static Task<EventRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<EventRow>(
        $"{Select} where e.id = @id and {session.Sees("h.yard_id", sight)}",
        new { id, sight.Yards });

    /// <summary>Events of horses the caller may see, voided ones among them.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="sight">What the caller sees.</param>
    /// <param name="filter">Whose.</param>
    /// <param name="page">Which stretch.</param>
    public static async Task<Paged<EventRow>> ListAsync(ReadSession session, Sight sight, HorseFilter filter, Page page) => Paged<EventRow>.From(
        await session.ListAsync<EventRow>(
            $"""
            {Select}
            where e.id > @After and {session.Sees("h.yard_id", sight)} {filter.Asks}
            order by e.id limit @LimitAndOne
            """, new { sight.Yards, filter.HorseId, filter.YardId, page.After, page.LimitAndOne }),
        page, e => e.Id);

    /// <summary>Events of a horse that count, by day.</summary>
    public static Task<IReadOnlyList<EventRow>> LiveOfHorseAsync(ReadSession session, string horseId) => session.ListAsync<EventRow>(
        $"{Select} where e.horse_id = @horseId and e.voided_at is null order by e.on_day, e.id", new { horseId });

    /// <summary>Adds an event.</summary>
    public static Task AddAsync(WriteSession session, EventRow happening) => session.ExecuteAsync(
        """
        insert into events (id, horse_id, on_day, kind, planned, note, version, created_at)
        values (@Id, @HorseId, @OnDay, @Kind, @Planned, @Note, 1, @CreatedAt)
        """, happening);

    /// <summary>Voids an event as its row says, if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> VoidAsync(WriteSession session, EventRow happening) => await session.ExecuteAsync(
        """
        update events set voided_at = @VoidedAt, void_reason = @VoidReason, version = version + 1
        where id = @Id and version = @Version and voided_at is null
        """, happening) == 1;
}
