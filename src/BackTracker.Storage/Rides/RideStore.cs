using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Rides;

/// <summary>A ride.</summary>
public sealed record RideRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>The saddle.</summary>
    public string SaddleId { get; init; } = "";

    /// <summary>Its day.</summary>
    public string RiddenOn { get; init; } = "";

    /// <summary>How long, in minutes.</summary>
    public int Minutes { get; init; }

    /// <summary>When it was voided; null while it counts.</summary>
    public string? VoidedAt { get; init; }

    /// <summary>Why it was voided.</summary>
    public string? VoidReason { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was recorded.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Rides.</summary>
public static class RideStore
{
    private const string Columns = "r.id, r.horse_id, r.saddle_id, r.ridden_on, r.minutes, r.voided_at, r.void_reason, r.version, r.created_at";
    private const string Select = $"select {Columns} from rides r join horses h on h.id = r.horse_id";

    /// <summary>A ride on a horse the caller may see.</summary>
    public static Task<RideRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<RideRow>(
        $"{Select} where r.id = @id and {session.Sees("h.yard_id", sight)}", new { id, sight.Yards });

    /// <summary>Rides on horses the caller may see, voided ones among them.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="sight">What the caller sees.</param>
    /// <param name="filter">Whose.</param>
    /// <param name="page">Which stretch.</param>
    public static async Task<Paged<RideRow>> ListAsync(ReadSession session, Sight sight, HorseFilter filter, Page page) => Paged<RideRow>.From(
        await session.ListAsync<RideRow>(
            $"""
            {Select}
            where r.id > @After and {session.Sees("h.yard_id", sight)} {filter.Asks}
            order by r.id limit @LimitAndOne
            """, new { sight.Yards, filter.HorseId, filter.YardId, page.After, page.LimitAndOne }),
        page, r => r.Id);

    /// <summary>Rides in a saddle that count, on whichever horse, from a day on.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="saddleId">The saddle.</param>
    /// <param name="from">First day.</param>
    /// <param name="to">Last day; null for no end.</param>
    public static Task<IReadOnlyList<RideRow>> InSaddleAsync(ReadSession session, string saddleId, string from, string? to) => session.ListAsync<RideRow>(
        $"""
        select {Columns} from rides r
        where r.saddle_id = @saddleId and r.ridden_on >= @from {to.Asks("r.ridden_on <= @to")} and r.voided_at is null
        order by r.ridden_on, r.id
        """, new { saddleId, from, to });

    /// <summary>Adds a ride.</summary>
    public static Task AddAsync(WriteSession session, RideRow ride) => session.ExecuteAsync(
        """
        insert into rides (id, horse_id, saddle_id, ridden_on, minutes, version, created_at)
        values (@Id, @HorseId, @SaddleId, @RiddenOn, @Minutes, 1, @CreatedAt)
        """, ride);

    /// <summary>Voids a ride as its row says, if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> VoidAsync(WriteSession session, RideRow ride) => await session.ExecuteAsync(
        """
        update rides set voided_at = @VoidedAt, void_reason = @VoidReason, version = version + 1
        where id = @Id and version = @Version and voided_at is null
        """, ride) == 1;
}
