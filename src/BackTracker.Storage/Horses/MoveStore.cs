using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Horses;

/// <summary>A horse that went to another yard, or whose status changed. Never changed afterwards.</summary>
public sealed record MoveRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>Day of the move.</summary>
    public string OnDay { get; init; } = "";

    /// <summary>The yard it stood in.</summary>
    public string FromYardId { get; init; } = "";

    /// <summary>The yard it went to; null where its status changed.</summary>
    public string? ToYardId { get; init; }

    /// <summary>Its new status, as a word; null where it went to another yard.</summary>
    public string? Status { get; init; }

    /// <summary>When it was recorded.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Moves of horses.</summary>
public static class MoveStore
{
    private const string Select =
        """
        select m.id, m.horse_id, m.on_day, m.from_yard_id, m.to_yard_id, m.status, m.created_at
        from moves m join horses h on h.id = m.horse_id
        """;

    /// <summary>A move of a horse the caller may see.</summary>
    public static Task<MoveRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<MoveRow>(
        $"{Select} where m.id = @id and {session.Sees("h.yard_id", sight)}",
        new { id, sight.Yards });

    /// <summary>Moves of horses the caller may see.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="sight">What the caller sees.</param>
    /// <param name="filter">Whose.</param>
    /// <param name="page">Which stretch.</param>
    public static async Task<Paged<MoveRow>> ListAsync(ReadSession session, Sight sight, HorseFilter filter, Page page) => Paged<MoveRow>.From(
        await session.ListAsync<MoveRow>(
            $"""
            {Select}
            where m.id > @After and {session.Sees("h.yard_id", sight)} {filter.Asks}
            order by m.id limit @LimitAndOne
            """, new { sight.Yards, filter.HorseId, filter.YardId, page.After, page.LimitAndOne }),
        page, m => m.Id);

    /// <summary>Day of a horse's latest move; null where it never moved.</summary>
    public static Task<string?> LatestDayAsync(ReadSession session, string horseId) =>
        session.FirstAsync<string>("select max(on_day) from moves where horse_id = @horseId", new { horseId });

    /// <summary>Adds a move; the horse itself is placed by <see cref="HorseStore.PlaceAsync"/>.</summary>
    public static Task AddAsync(WriteSession session, MoveRow move) => session.ExecuteAsync(
        """
        insert into moves (id, horse_id, on_day, from_yard_id, to_yard_id, status, created_at)
        values (@Id, @HorseId, @OnDay, @FromYardId, @ToYardId, @Status, @CreatedAt)
        """, move);
}
