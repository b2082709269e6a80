using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Horses;

/// <summary>Something dated that was recorded of a horse, whatever it was.</summary>
public sealed record HistoryRow
{
    /// <summary>measurement, observation, outcome, check, adjustment, event, phase or move.</summary>
    public string Kind { get; init; } = "";

    /// <summary>Id of the record; with a suffix where a record stands there twice.</summary>
    public string Id { get; init; } = "";

    /// <summary>Its day.</summary>
    public string OnDay { get; init; } = "";

    /// <summary>What it was, as a word: a method, a kind, a phase, an outcome, a status.</summary>
    public string What { get; init; } = "";

    /// <summary>More of it: whether before or after work, findings, zones, planned, as what somebody said so, the yard.</summary>
    public string? More { get; init; }

    /// <summary>The saddle or the sign it is about.</summary>
    public string? About { get; init; }

    /// <summary>Anything else.</summary>
    public string? Note { get; init; }

    /// <summary>The measurement it corrects.</summary>
    public string? Corrects { get; init; }

    /// <summary>The measurement that corrects it.</summary>
    public string? ReplacedBy { get; init; }

    /// <summary>When it was voided; null while it counts.</summary>
    public string? VoidedAt { get; init; }

    /// <summary>Why it was voided.</summary>
    public string? VoidReason { get; init; }
}

/// <summary>The place in a history after which older records come.</summary>
/// <param name="Day">Day of the last one shown; empty for the beginning.</param>
/// <param name="Id">Its id.</param>
public readonly record struct HistoryPlace(string Day, string Id);

/// <summary>Everything dated that was recorded of a horse, voided records among it.</summary>
public static class HistoryStore
{
    /// <summary>A stretch of the history of a horse, newest first. A re-measure that was done is not in it: the measurement is.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="sight">What the caller sees: a yard it does not see is not named, and of its saddles no more is told than that they were altered.</param>
    /// <param name="horseId">The horse.</param>
    /// <param name="after">Where to go on.</param>
    /// <param name="limit">Most rows.</param>
    public static Task<IReadOnlyList<HistoryRow>> OfHorseAsync(ReadSession session, Sight sight, string horseId, HistoryPlace after, int limit) => session.ListAsync<HistoryRow>(
        $"""
        select r.kind, r.id, r.on_day, r.what, r.more, r.about, r.note, r.corrects, r.replaced_by, r.voided_at, r.void_reason from (
            select 'measurement' as kind, id, measured_on as on_day, method as what, exercise as more, cast(null as text) as about,
                cast(null as text) as note, corrects, replaced_by, voided_at, void_reason
            from measurements where horse_id = @horseId
            union all
            select 'observation', id, observed_on, kind, severity, null, note, null, null, voided_at, void_reason
            from observations where horse_id = @horseId
            union all
            select 'outcome', id || '-outcome', outcome_on, outcome, outcome_role, kind, outcome_note, null, null, voided_at, void_reason
            from observations where horse_id = @horseId and outcome is not null
            union all
            select 'check', c.id, c.done_on, c.kind, c.findings, s.label, c.closing_note, null, null, null, null
            from checks c left join pairings p on p.id = c.pairing_id left join saddles s on s.id = p.saddle_id
            where c.horse_id = @horseId and c.state = 'done' and c.kind <> 'remeasure'
            union all
            select 'adjustment', a.id, a.done_on, a.kind, case when {session.Sees("s.yard_id", sight)} then a.zones end, s.label,
                case when {session.Sees("s.yard_id", sight)} then a.note end, null, null, a.voided_at, case when {session.Sees("s.yard_id", sight)} then a.void_reason end
            from adjustments a join saddles s on s.id = a.saddle_id
            where exists (select 1 from pairings p where p.saddle_id = a.saddle_id and p.horse_id = @horseId
                and p.from_day <= a.done_on and (p.to_day is null or p.to_day >= a.done_on))
            union all
            select 'event', id, on_day, kind, case when planned = 1 then 'planned' end, null, note, null, null, voided_at, void_reason
            from events where horse_id = @horseId
            union all
            select 'phase', id, from_day, phase, null, null, null, null, null, voided_at, void_reason
            from phases where horse_id = @horseId
            union all
            select 'move', m.id, m.on_day, coalesce(m.status, 'moved'), case when {session.Sees("m.to_yard_id", sight)} then y.name end, null, null, null, null, null, null
            from moves m left join yards y on y.id = m.to_yard_id where m.horse_id = @horseId
        ) r
        where @Day = '' or r.on_day < @Day or (r.on_day = @Day and r.id < @Id)
        order by r.on_day desc, r.id desc limit @limit
        """, new { horseId, sight.Yards, after.Day, after.Id, limit });
}
