using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Measurements;

/// <summary>One measuring session of a horse. Never deleted: it is voided, or replaced by a correction.</summary>
public sealed record MeasurementRow
{
    /// <summary>Id, made by the service or by the client.</summary>
    public string Id { get; init; } = "";

    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>When it was measured, UTC.</summary>
    public string MeasuredAt { get; init; } = "";

    /// <summary>The day of that instant in the time zone of the yard the horse stood in.</summary>
    public string MeasuredOn { get; init; } = "";

    /// <summary>Who measured.</summary>
    public string? MeasuredBy { get; init; }

    /// <summary>With what, as a word.</summary>
    public string Method { get; init; } = "";

    /// <summary>Before or after work, as a word.</summary>
    public string Exercise { get; init; } = "";

    /// <summary>What was measured: canonical JSON.</summary>
    public string Body { get; init; } = "{}";

    /// <summary>What the person who recorded it was advised: JSON list.</summary>
    public string Advice { get; init; } = "[]";

    /// <summary>The measurement this one corrects.</summary>
    public string? Corrects { get; init; }

    /// <summary>The measurement that corrects this one.</summary>
    public string? ReplacedBy { get; init; }

    /// <summary>When it was voided.</summary>
    public string? VoidedAt { get; init; }

    /// <summary>Why it was voided.</summary>
    public string? VoidReason { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was recorded.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Which measurements to list; empty text leaves a limit out.</summary>
/// <param name="HorseId">Of one horse.</param>
/// <param name="YardId">Of the horses that stand in one yard now.</param>
/// <param name="From">First day.</param>
/// <param name="To">Last day.</param>
/// <param name="Station">With a width or a trace at this station, "T13".</param>
public sealed record MeasurementFilter(string HorseId = "", string YardId = "", string From = "", string To = "", string Station = "");

/// <summary>The latest measurements up to a day; empty text leaves a limit out.</summary>
/// <param name="UpTo">Last day.</param>
/// <param name="Most">At most so many.</param>
/// <param name="MeasuredBy">By one person.</param>
/// <param name="Method">With one method, as a word.</param>
public sealed record LatestMeasurements(string UpTo, int Most, string MeasuredBy = "", string Method = "");

/// <summary>Which state of a measurement was read.</summary>
/// <param name="Id">The measurement.</param>
/// <param name="Version">Its version.</param>
public sealed record MeasurementVersion(string Id, long Version);

/// <summary>Measurements.</summary>
public static class MeasurementStore
{
    private const string Columns =
        """
        m.id, m.horse_id, m.measured_at, m.measured_on, m.measured_by, m.method, m.exercise, m.body, m.advice, m.corrects, m.replaced_by,
        m.voided_at, m.void_reason, m.version, m.created_at
        """;

    /// <summary>A measurement the caller may see.</summary>
    public static Task<MeasurementRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<MeasurementRow>(
        $"select {Columns} from measurements m join horses h on h.id = m.horse_id where m.id = @id and {session.Sees("h.yard_id", sight)}",
        new { id, sight.Yards });

    /// <summary>Measurements the caller may see, voided and replaced ones among them, in order of id.</summary>
    public static async Task<Paged<MeasurementRow>> ListAsync(ReadSession session, Sight sight, MeasurementFilter filter, Page page) =>
        Paged<MeasurementRow>.From(
            await session.ListAsync<MeasurementRow>(
                $"""
                select {Columns} from measurements m join horses h on h.id = m.horse_id
                where m.id > @After and {session.Sees("h.yard_id", sight)} {Where(filter)}
                order by m.id limit @LimitAndOne
                """,
                new
                {
                    sight.EveryYard,
                    sight.Yards,
                    page.After,
                    page.LimitAndOne,
                    filter.HorseId,
                    filter.YardId,
                    filter.From,
                    filter.To,
                    AtStation = $"%\"station\":\"{filter.Station}\"%",
                }),
            page, m => m.Id);

    /// <summary>The measurements of a horse that count: neither voided nor replaced, in order of day.</summary>
    public static Task<IReadOnlyList<MeasurementRow>> LiveOfHorseAsync(ReadSession session, string horseId) => session.ListAsync<MeasurementRow>(
        $"""
        select {Columns} from measurements m
        where m.horse_id = @horseId and m.voided_at is null and m.replaced_by is null
        order by m.measured_on, m.id
        """, new { horseId });

    /// <summary>The latest measurements that count, of horses in yards the caller sees, in order of day.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="sight">What the caller sees.</param>
    /// <param name="latest">Which and how many.</param>
    public static Task<IReadOnlyList<MeasurementRow>> LatestAsync(ReadSession session, Sight sight, LatestMeasurements latest) =>
        session.ListAsync<MeasurementRow>($"select {Columns} {Latest(session, sight, latest)}", Values(sight, latest));

    /// <summary>Id and version of the same, without reading what was measured.</summary>
    public static Task<IReadOnlyList<MeasurementVersion>> LatestVersionsAsync(ReadSession session, Sight sight, LatestMeasurements latest) =>
        session.ListAsync<MeasurementVersion>($"select m.id, m.version {Latest(session, sight, latest)}", Values(sight, latest));

    // The inner query is answered from an index, so that only what it finds is read.
    private static string Latest(ReadSession session, Sight sight, LatestMeasurements latest) =>
        $"""
        from measurements m
        where m.voided_at is null and m.replaced_by is null and m.id in (
            select l.id from horses h join measurements l on l.horse_id = h.id
            where {session.Sees("h.yard_id", sight)} and l.measured_on <= @UpTo
                {(latest.MeasuredBy.Length == 0 ? "" : "and l.measured_by = @MeasuredBy")} {(latest.Method.Length == 0 ? "" : "and l.method = @Method")}
            order by l.measured_on desc, l.id desc limit @Most)
        order by m.measured_on, m.id
        """;

    private static object Values(Sight sight, LatestMeasurements latest) =>
        new { sight.Yards, latest.UpTo, latest.MeasuredBy, latest.Method, latest.Most };

    /// <summary>Adds a measurement; false where its id is taken already.</summary>
    public static async Task<bool> AddAsync(WriteSession session, MeasurementRow measurement) => await session.ExecuteAsync(
        """
        insert into measurements (id, horse_id, measured_at, measured_on, measured_by, method, exercise, body, advice, corrects, version, created_at)
        values (@Id, @HorseId, @MeasuredAt, @MeasuredOn, @MeasuredBy, @Method, @Exercise, @Body, @Advice, @Corrects, 1, @CreatedAt)
        on conflict (id) do nothing
        """, measurement) == 1;

    /// <summary>Adds many measurements whose ids are not taken.</summary>
    public static Task AddManyAsync(WriteSession session, IEnumerable<MeasurementRow> measurements) => session.WriteRowsAsync(
        "measurements",
        ["id", "horse_id", "measured_at", "measured_on", "measured_by", "method", "exercise", "body", "advice", "corrects", "voided_at", "void_reason", "version", "created_at"],
        measurements.Select(m => new object?[]
        {
            m.Id, m.HorseId, m.MeasuredAt, m.MeasuredOn, m.MeasuredBy, m.Method, m.Exercise, m.Body, m.Advice, m.Corrects, m.VoidedAt, m.VoidReason, m.Version, m.CreatedAt,
        }));

    /// <summary>Marks a measurement as replaced by its correction; false where it does not count any more.</summary>
    public static async Task<bool> ReplaceAsync(WriteSession session, string id, string by) => await session.ExecuteAsync(
        "update measurements set replaced_by = @by, version = version + 1 where id = @id and replaced_by is null and voided_at is null",
        new { id, by }) == 1;

    /// <summary>Marks a measurement as replaced that came here with its correction, by which its version has grown already.</summary>
    public static Task LinkAsync(WriteSession session, string id, string by) =>
        session.ExecuteAsync("update measurements set replaced_by = @by where id = @id and replaced_by is null", new { id, by });

    /// <summary>Voids a measurement if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> VoidAsync(WriteSession session, MeasurementRow measurement, string reason) => await session.ExecuteAsync(
        """
        update measurements set voided_at = @now, void_reason = @reason, version = version + 1
        where id = @Id and version = @Version and voided_at is null
        """, new { measurement.Id, measurement.Version, reason, now = session.NowText }) == 1;

    // The body is compact JSON, in which a quote within a text is escaped: the pattern meets stations and nothing else.
    private static string Where(MeasurementFilter filter) => string.Concat(
        filter.HorseId.Length == 0 ? "" : " and m.horse_id = @HorseId",
        filter.YardId.Length == 0 ? "" : " and h.yard_id = @YardId",
        filter.From.Length == 0 ? "" : " and m.measured_on >= @From",
        filter.To.Length == 0 ? "" : " and m.measured_on <= @To",
        filter.Station.Length == 0 ? "" : " and m.body like @AtStation");
}
