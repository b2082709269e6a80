using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Observations;

/// <summary>Something seen on a horse or under saddle.</summary>
public sealed record ObservationRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>Day it was seen.</summary>
    public string ObservedOn { get; init; } = "";

    /// <summary>What was seen, as a word.</summary>
    public string Kind { get; init; } = "";

    /// <summary>Side of the horse, as a word.</summary>
    public string? Side { get; init; }

    /// <summary>Station, "T13".</summary>
    public string? Station { get; init; }

    /// <summary>How bad, as a word.</summary>
    public string? Severity { get; init; }

    /// <summary>Ridden-behaviour score, of 24.</summary>
    public int? Score { get; init; }

    /// <summary>Anything else worth saying.</summary>
    public string? Note { get; init; }

    /// <summary>What ended it, as a word; null while it is open.</summary>
    public string? Outcome { get; init; }

    /// <summary>Day of the outcome.</summary>
    public string? OutcomeOn { get; init; }

    /// <summary>Who gave the outcome.</summary>
    public string? OutcomeBy { get; init; }

    /// <summary>As what they gave it, as a word.</summary>
    public string? OutcomeRole { get; init; }

    /// <summary>What they found.</summary>
    public string? OutcomeNote { get; init; }

    /// <summary>When it was voided.</summary>
    public string? VoidedAt { get; init; }

    /// <summary>Why it was voided.</summary>
    public string? VoidReason { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was recorded.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Whether an observation still asks for something.</summary>
public enum Openness
{
    /// <summary>Open or not.</summary>
    Any,

    /// <summary>Neither voided nor ended by an outcome.</summary>
    Open,

    /// <summary>Voided or ended by an outcome.</summary>
    Closed,
}

/// <summary>Which observations to list; empty text leaves a limit out.</summary>
/// <param name="HorseId">Of one horse.</param>
/// <param name="YardId">Of the horses that stand in one yard now.</param>
/// <param name="Openness">Open ones or closed ones alone.</param>
public sealed record ObservationFilter(string HorseId = "", string YardId = "", Openness Openness = Openness.Any);

/// <summary>Observations.</summary>
public static class ObservationStore
{
    private const string Columns =
        """
        o.id, o.horse_id, o.observed_on, o.kind, o.side, o.station, o.severity, o.score, o.note, o.outcome, o.outcome_on, o.outcome_by,
        o.outcome_role, o.outcome_note, o.voided_at, o.void_reason, o.version, o.created_at
        """;

    /// <summary>An observation the caller may see.</summary>
    public static Task<ObservationRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<ObservationRow>(
        $"select {Columns} from observations o join horses h on h.id = o.horse_id where o.id = @id and {session.Sees("h.yard_id", sight)}",
        new { id, sight.Yards });

    /// <summary>Observations the caller may see, in order of id.</summary>
    public static async Task<Paged<ObservationRow>> ListAsync(ReadSession session, Sight sight, ObservationFilter filter, Page page) =>
        Paged<ObservationRow>.From(
            await session.ListAsync<ObservationRow>(
                $"""
                select {Columns} from observations o join horses h on h.id = o.horse_id
                where o.id > @After and {session.Sees("h.yard_id", sight)} {Where(filter)}
                order by o.id limit @LimitAndOne
                """,
                new { sight.Yards, page.After, page.LimitAndOne, filter.HorseId, filter.YardId }),
            page, o => o.Id);

    /// <summary>The observations of a horse that were not voided, open or not, in order of day.</summary>
    public static Task<IReadOnlyList<ObservationRow>> LiveOfHorseAsync(ReadSession session, string horseId) => session.ListAsync<ObservationRow>(
        $"select {Columns} from observations o where o.horse_id = @horseId and o.voided_at is null order by o.observed_on, o.id",
        new { horseId });

    /// <summary>Open observations of a yard's active horses, in order of day.</summary>
    public static Task<IReadOnlyList<ObservationRow>> OpenInYardAsync(ReadSession session, string yardId) => session.ListAsync<ObservationRow>(
        $"""
        select {Columns} from observations o join horses h on h.id = o.horse_id
        where h.yard_id = @yardId and h.status = 'active' and o.outcome is null and o.voided_at is null
        order by o.observed_on, o.id
        """, new { yardId });

    /// <summary>Observations of a yard's horses that no vet has closed, in order of day.</summary>
    public static Task<IReadOnlyList<ObservationRow>> NotSeenByVetInYardAsync(ReadSession session, string yardId) => session.ListAsync<ObservationRow>(
        $"""
        select {Columns} from observations o join horses h on h.id = o.horse_id
        where h.yard_id = @yardId and o.voided_at is null and coalesce(o.outcome_role, '') <> 'vet'
        order by o.observed_on, o.id
        """, new { yardId });

    /// <summary>Adds an observation.</summary>
    public static Task AddAsync(WriteSession session, ObservationRow observation) => session.ExecuteAsync(
        """
        insert into observations (id, horse_id, observed_on, kind, side, station, severity, score, note, version, created_at)
        values (@Id, @HorseId, @ObservedOn, @Kind, @Side, @Station, @Severity, @Score, @Note, 1, @CreatedAt)
        """, observation);

    /// <summary>Gives an open observation its outcome if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> CloseAsync(WriteSession session, ObservationRow observation) => await session.ExecuteAsync(
        """
        update observations set outcome = @Outcome, outcome_on = @OutcomeOn, outcome_by = @OutcomeBy, outcome_role = @OutcomeRole,
            outcome_note = @OutcomeNote, version = version + 1
        where id = @Id and version = @Version and outcome is null and voided_at is null
        """, observation) == 1;

    /// <summary>Voids an observation if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> VoidAsync(WriteSession session, ObservationRow observation, string reason) => await session.ExecuteAsync(
        """
        update observations set voided_at = @now, void_reason = @reason, version = version + 1
        where id = @Id and version = @Version and voided_at is null
        """, new { observation.Id, observation.Version, reason, now = session.NowText }) == 1;

    private static string Where(ObservationFilter filter) => string.Concat(
        filter.HorseId.Length == 0 ? "" : " and o.horse_id = @HorseId",
        filter.YardId.Length == 0 ? "" : " and h.yard_id = @YardId",
        filter.Openness switch
        {
            Openness.Open => " and o.outcome is null and o.voided_at is null",
            Openness.Closed => " and (o.outcome is not null or o.voided_at is not null)",
            _ => "",
        });
}
