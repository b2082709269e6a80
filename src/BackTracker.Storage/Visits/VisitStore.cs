using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Visits;

/// <summary>A visit to a yard.</summary>
public sealed record VisitRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The yard.</summary>
    public string YardId { get; init; } = "";

    /// <summary>Who comes.</summary>
    public string FitterId { get; init; } = "";

    /// <summary>The day.</summary>
    public string OnDay { get; init; } = "";

    /// <summary>planned, done or fell-through.</summary>
    public string State { get; init; } = "";

    /// <summary>What was said when it was planned.</summary>
    public string? Note { get; init; }

    /// <summary>What was said when it was over: why it fell through.</summary>
    public string? ClosingNote { get; init; }

    /// <summary>Who did it.</summary>
    public string? DoneBy { get; init; }

    /// <summary>How often its day or state changed.</summary>
    public long Sequence { get; init; }

    /// <summary>Version for the ETag; it grows with every change of a check on it too.</summary>
    public long Version { get; init; }

    /// <summary>When it or a check on it last changed.</summary>
    public string ChangedAt { get; init; } = "";

    /// <summary>When it was planned.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Which visits to list.</summary>
/// <param name="YardId">To a yard; null for all.</param>
/// <param name="FitterId">Of a person; null for all.</param>
/// <param name="State">In a state; null for all.</param>
/// <param name="From">On this day or later; null for all.</param>
/// <param name="To">On this day or earlier; null for all.</param>
public sealed record VisitFilter(string? YardId, string? FitterId, string? State, string? From, string? To);

/// <summary>Visits.</summary>
public static class VisitStore
{
    private const string Select =
        "select id, yard_id, fitter_id, on_day, state, note, closing_note, done_by, sequence, version, changed_at, created_at from visits";

    /// <summary>A visit to a yard the caller may see.</summary>
    public static Task<VisitRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<VisitRow>(
        $"{Select} where id = @id and {session.Sees("yard_id", sight)}", new { id, sight.Yards });

    /// <summary>Visits to yards the caller may see, filtered.</summary>
    public static async Task<Paged<VisitRow>> ListAsync(ReadSession session, Sight sight, VisitFilter filter, Page page) => Paged<VisitRow>.From(
        await session.ListAsync<VisitRow>(
            $"""
            {Select}
            where id > @After and {session.Sees("yard_id", sight)}
                {filter.YardId.Asks("yard_id = @YardId")} {filter.FitterId.Asks("fitter_id = @FitterId")} {filter.State.Asks("state = @State")}
                {filter.From.Asks("on_day >= @From")} {filter.To.Asks("on_day <= @To")}
            order by id limit @LimitAndOne
            """,
            new { page.After, page.LimitAndOne, sight.Yards, filter.YardId, filter.FitterId, filter.State, filter.From, filter.To }),
        page, v => v.Id);

    /// <summary>Adds a planned visit.</summary>
    public static Task AddAsync(WriteSession session, VisitRow visit) => session.ExecuteAsync(
        """
        insert into visits (id, yard_id, fitter_id, on_day, state, note, sequence, version, changed_at, created_at)
        values (@Id, @YardId, @FitterId, @OnDay, @State, @Note, 0, 1, @CreatedAt, @CreatedAt)
        """, visit);

    /// <summary>Takes a visit for this change if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> ClaimAsync(WriteSession session, VisitRow visit) => await session.ExecuteAsync(
        "update visits set version = version + 1, changed_at = @now where id = @Id and version = @Version",
        new { visit.Id, visit.Version, now = session.NowText }) == 1;

    /// <summary>Writes the new day or state of a visit that was taken with <see cref="ClaimAsync"/>.</summary>
    public static Task WriteAsync(WriteSession session, VisitRow visit) => session.ExecuteAsync(
        "update visits set on_day = @OnDay, state = @State, closing_note = @ClosingNote, done_by = @DoneBy, sequence = sequence + 1 where id = @Id",
        visit);
}
