using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Yards;

/// <summary>A yard.</summary>
public sealed record YardRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>What people call it.</summary>
    public string Name { get; init; } = "";

    /// <summary>IANA time zone; due days are days in it.</summary>
    public string TimeZone { get; init; } = "";

    /// <summary>Weekdays and days on which nobody comes, as a JSON list.</summary>
    public string ClosedDays { get; init; } = "[]";

    /// <summary>Degrees north.</summary>
    public double? Latitude { get; init; }

    /// <summary>Degrees east.</summary>
    public double? Longitude { get; init; }

    /// <summary>The last day, in the yard's time, whose nightly assessment was done.</summary>
    public string? NightlyOn { get; init; }

    /// <summary>The last day, in the yard's time, whose daily letter was written.</summary>
    public string? DigestOn { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was registered.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Yards.</summary>
public static class YardStore
{
    private const string Columns = "id, name, time_zone, closed_days, latitude, longitude, nightly_on, digest_on, version, created_at";

    /// <summary>A yard the caller may see.</summary>
    public static Task<YardRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<YardRow>(
        $"select {Columns} from yards where id = @id and {session.Sees("id", sight)}",
        new { id, sight.Yards });

    /// <summary>Yards the caller may see.</summary>
    public static async Task<Paged<YardRow>> ListAsync(ReadSession session, Sight sight, Page page) => Paged<YardRow>.From(
        await session.ListAsync<YardRow>(
            $"select {Columns} from yards where id > @After and {session.Sees("id", sight)} order by id limit @LimitAndOne",
            new { sight.Yards, page.After, page.LimitAndOne }),
        page, y => y.Id);

    /// <summary>Names of all the yards the caller may see.</summary>
    public static Task<IReadOnlyList<string>> NamesAsync(ReadSession session, Sight sight) =>
        session.ListAsync<string>($"select name from yards where {session.Sees("id", sight)} order by id", new { sight.Yards });

    /// <summary>Adds a yard.</summary>
    public static Task AddAsync(WriteSession session, YardRow yard) => session.ExecuteAsync(
        """
        insert into yards (id, name, time_zone, closed_days, latitude, longitude, version, created_at)
        values (@Id, @Name, @TimeZone, @ClosedDays, @Latitude, @Longitude, 1, @CreatedAt)
        """, yard);

    /// <summary>Changes a yard if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> ChangeAsync(WriteSession session, YardRow yard) => await session.ExecuteAsync(
        """
        update yards set name = @Name, time_zone = @TimeZone, closed_days = @ClosedDays, latitude = @Latitude, longitude = @Longitude,
            version = version + 1
        where id = @Id and version = @Version
        """, yard) == 1;

    /// <summary>Every yard, for the service's own rounds.</summary>
    public static Task<IReadOnlyList<YardRow>> AllAsync(ReadSession session) =>
        session.ListAsync<YardRow>($"select {Columns} from yards order by id");

    /// <summary>Notes the day whose nightly assessment is under way or done.</summary>
    public static Task NoteNightlyAsync(WriteSession session, string yardId, DateOnly day) => session.ExecuteAsync(
        "update yards set nightly_on = @day where id = @yardId",
        new { yardId, day = Instants.WriteDay(day) });

    /// <summary>Notes the day whose daily letter is being written; false where another has done that day already.</summary>
    public static async Task<bool> NoteDigestAsync(WriteSession session, string yardId, DateOnly day) => await session.ExecuteAsync(
        "update yards set digest_on = @day where id = @yardId and (digest_on is null or digest_on <> @day)",
        new { yardId, day = Instants.WriteDay(day) }) == 1;

    /// <summary>Holds off whoever else would tell of a yard until this transaction is over, so that nothing is told twice.</summary>
    public static Task HoldAsync(WriteSession session, string yardId) =>
        session.ExecuteAsync("update yards set digest_on = digest_on where id = @yardId", new { yardId });
}
