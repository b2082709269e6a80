using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Horses;

/// <summary>A training phase that begins on a day and lasts until the next one.</summary>
public sealed record PhaseRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>First day; may lie ahead.</summary>
    public string FromDay { get; init; } = "";

    /// <summary>The phase, as a word.</summary>
    public string Phase { get; init; } = "";

    /// <summary>When it was voided; null while it counts.</summary>
    public string? VoidedAt { get; init; }

    /// <summary>Why it was voided.</summary>
    public string? VoidReason { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was recorded.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Phases of horses.</summary>
public static class PhaseStore
{
    private const string Select =
        """
        select p.id, p.horse_id, p.from_day, p.phase, p.voided_at, p.void_reason, p.version, p.created_at
        from phases p join horses h on h.id = p.horse_id
        """;

    /// <summary>A phase of a horse the caller may see.</summary>
    public static Task<PhaseRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<PhaseRow>(
        $"{Select} where p.id = @id and {session.Sees("h.yard_id", sight)}",
        new { id, sight.Yards });

    /// <summary>Phases of horses the caller may see, voided ones among them.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="sight">What the caller sees.</param>
    /// <param name="filter">Whose.</param>
    /// <param name="page">Which stretch.</param>
    public static async Task<Paged<PhaseRow>> ListAsync(ReadSession session, Sight sight, HorseFilter filter, Page page) => Paged<PhaseRow>.From(
        await session.ListAsync<PhaseRow>(
            $"""
            {Select}
            where p.id > @After and {session.Sees("h.yard_id", sight)} {filter.Asks}
            order by p.id limit @LimitAndOne
            """, new { sight.Yards, filter.HorseId, filter.YardId, page.After, page.LimitAndOne }),
        page, p => p.Id);

    /// <summary>Every phase of some horses, voided ones among them, by first day.</summary>
    public static Task<IReadOnlyList<PhaseRow>> OfHorsesAsync(ReadSession session, string[] horseIds) => session.ListAsync<PhaseRow>(
        $"{Select} where {session.Among("p.horse_id", "horseIds")} order by p.from_day, p.id", new { horseIds });

    /// <summary>Every phase of a horse, voided ones among them, by first day.</summary>
    public static Task<IReadOnlyList<PhaseRow>> OfHorseAsync(ReadSession session, string horseId) => session.ListAsync<PhaseRow>(
        $"{Select} where p.horse_id = @horseId order by p.from_day, p.id", new { horseId });

    /// <summary>Phases of a horse that count, by first day.</summary>
    public static Task<IReadOnlyList<PhaseRow>> LiveOfHorseAsync(ReadSession session, string horseId) => session.ListAsync<PhaseRow>(
        $"{Select} where p.horse_id = @horseId and p.voided_at is null order by p.from_day, p.id", new { horseId });

    /// <summary>Adds a phase.</summary>
    public static Task AddAsync(WriteSession session, PhaseRow phase) => session.ExecuteAsync(
        """
        insert into phases (id, horse_id, from_day, phase, version, created_at)
        values (@Id, @HorseId, @FromDay, @Phase, 1, @CreatedAt)
        """, phase);

    /// <summary>Voids a phase as its row says, if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> VoidAsync(WriteSession session, PhaseRow phase) => await session.ExecuteAsync(
        """
        update phases set voided_at = @VoidedAt, void_reason = @VoidReason, version = version + 1
        where id = @Id and version = @Version and voided_at is null
        """, phase) == 1;
}
