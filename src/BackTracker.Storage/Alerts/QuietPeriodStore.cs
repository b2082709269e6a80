using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Alerts;

/// <summary>A time in which nobody is told, vet-first signs apart.</summary>
public sealed record QuietPeriodRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The yard.</summary>
    public string YardId { get; init; } = "";

    /// <summary>The horse; null for the whole yard.</summary>
    public string? HorseId { get; init; }

    /// <summary>Only problems of this cause, as a word; null for all.</summary>
    public string? Cause { get; init; }

    /// <summary>Its last day.</summary>
    public string UntilDay { get; init; } = "";

    /// <summary>Why.</summary>
    public string Reason { get; init; } = "";

    /// <summary>Who asked for it, where the key belongs to somebody.</summary>
    public string? PersonId { get; init; }

    /// <summary>When it was ended before its time.</summary>
    public string? EndedAt { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was asked for.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Quiet periods.</summary>
public static class QuietPeriodStore
{
    private const string Columns = "id, yard_id, horse_id, cause, until_day, reason, person_id, ended_at, version, created_at";

    /// <summary>A quiet period the caller may see.</summary>
    public static Task<QuietPeriodRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<QuietPeriodRow>(
        $"select {Columns} from quiet_periods where id = @id and {session.Sees("yard_id", sight)}", new { id, sight.Yards });

    /// <summary>Quiet periods the caller may see, past ones too.</summary>
    public static async Task<Paged<QuietPeriodRow>> ListAsync(ReadSession session, Sight sight, string? yardId, string? horseId, Page page) => Paged<QuietPeriodRow>.From(
        await session.ListAsync<QuietPeriodRow>(
            $"""
            select {Columns} from quiet_periods
            where id > @After and {session.Sees("yard_id", sight)} {yardId.Asks("yard_id = @yardId")} {horseId.Asks("horse_id = @horseId")}
            order by id limit @LimitAndOne
            """, new { page.After, page.LimitAndOne, sight.Yards, yardId, horseId }),
        page, q => q.Id);

    /// <summary>Those of a yard that last on a day.</summary>
    public static Task<IReadOnlyList<QuietPeriodRow>> LastingInYardAsync(ReadSession session, string yardId, DateOnly today) => session.ListAsync<QuietPeriodRow>(
        $"select {Columns} from quiet_periods where yard_id = @yardId and ended_at is null and until_day >= @today order by id",
        new { yardId, today = Instants.WriteDay(today) });

    /// <summary>Adds a quiet period.</summary>
    public static Task AddAsync(WriteSession session, QuietPeriodRow row) => session.ExecuteAsync(
        """
        insert into quiet_periods (id, yard_id, horse_id, cause, until_day, reason, person_id, version, created_at)
        values (@Id, @YardId, @HorseId, @Cause, @UntilDay, @Reason, @PersonId, 1, @CreatedAt)
        """, row);

    /// <summary>Ends a quiet period before its time; one that was ended already stays as it is.</summary>
    public static Task EndAsync(WriteSession session, string id) => session.ExecuteAsync(
        "update quiet_periods set ended_at = @now, version = version + 1 where id = @id and ended_at is null", new { id, now = session.NowText });
}
