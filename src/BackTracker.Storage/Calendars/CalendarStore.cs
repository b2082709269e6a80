using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Calendars;

/// <summary>What calendars show, and the addresses they are read at.</summary>
public static class CalendarStore
{
    private const string Checks =
        """
        select c.id, c.kind, c.state, c.urgency, h.name as horse_name, y.name as yard_name, s.label as saddle_label, c.fitter_id,
            f.name as fitter_name, c.visit_id, c.reasons, c.book_by, c.due_on, c.booked_on, c.done_on, c.closing_note, c.sequence, c.changed_at
        from checks c join horses h on h.id = c.horse_id join yards y on y.id = h.yard_id
            left join pairings p on p.id = c.pairing_id left join saddles s on s.id = p.saddle_id left join people f on f.id = c.fitter_id
        """;

    private const string Visits =
        """
        select v.id, y.name as yard_name, f.name as fitter_name, v.on_day, v.state, v.note, v.closing_note, v.sequence, v.changed_at
        from visits v join yards y on y.id = v.yard_id join people f on f.id = v.fitter_id
        """;

    /// <summary>Whose calendar is read at an address; null where the address is not known or not known any more.</summary>
    public static Task<CalendarOwnerRow?> OwnerAsync(ReadSession session, string tokenHash) => session.FirstAsync<CalendarOwnerRow>(
        """
        select p.id, p.name, p.role, case when k.every_yard = 1 or k.person_id = p.id then 1 else 0 end as every_yard,
            (select string_agg(y.yard_id, ',' order by y.yard_id) from person_yards y
                where y.person_id = p.id and (k.every_yard = 1 or k.person_id = p.id
                    or exists (select 1 from api_key_yards r where r.key_id = k.id and r.yard_id = y.yard_id))) as yards
        from calendar_tokens t join people p on p.id = t.person_id join api_keys k on k.id = t.key_id
        where t.token_hash = @tokenHash
        """, new { tokenHash });

    /// <summary>Gives a person's calendar a new address; the old one is not known any more.</summary>
    public static Task SetTokenAsync(WriteSession session, string personId, string tokenHash) => session.ExecuteAsync(
        """
        insert into calendar_tokens (person_id, token_hash, key_id, created_at) values (@personId, @tokenHash, @actor, @now)
        on conflict (person_id) do update set token_hash = excluded.token_hash, key_id = excluded.key_id, created_at = excluded.created_at
        """, new { personId, tokenHash, actor = session.Actor, now = session.NowText });

    /// <summary>Takes the address of a person's calendar away.</summary>
    public static Task ForgetTokenAsync(WriteSession session, string personId) =>
        session.ExecuteAsync("delete from calendar_tokens where person_id = @personId", new { personId });

    /// <summary>Checks of yards that live or changed lately.</summary>
    public static Task<IReadOnlyList<CalendarCheckRow>> ChecksAsync(ReadSession session, Sight sight, DateTimeOffset since) => session.ListAsync<CalendarCheckRow>(
        $"""
        {Checks}
        where {session.Sees("h.yard_id")} and (c.state in ('open', 'booked') or c.changed_at >= @since) order by c.id
        """, new { sight.EveryYard, sight.Yards, since = Instants.Write(since) });

    /// <summary>The last booking outside of a visit of every check that ever had one, with one person or with anybody, where it stands or ended lately.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="sight">In which yards.</param>
    /// <param name="personId">With whom; null for anybody.</param>
    /// <param name="since">Since when a booking may have ended.</param>
    public static Task<IReadOnlyList<CalendarBookingRow>> BookingsAsync(ReadSession session, Sight sight, string? personId, DateTimeOffset since) => session.ListAsync<CalendarBookingRow>(
        $"""
        select * from (
            select b.check_id, b.booked_on as on_day, b.fitter_id as person_id,
                (select min(e.created_at) from check_history e
                    where e.check_id = b.check_id and e.id > b.id and e.action in ('book', 'unbook', 'complete', 'drop')) as ended_at
            from check_history b join checks c on c.id = b.check_id join horses h on h.id = c.horse_id
            where {session.Sees("h.yard_id")}
                and b.id = (select max(l.id) from check_history l
                    where l.check_id = b.check_id and l.action in ('book', 'move') and l.visit_id is null and l.booked_on is not null and (@personId is null or l.fitter_id = @personId))) bookings
        where ended_at is null or ended_at >= @since order by check_id
        """, new { sight.EveryYard, sight.Yards, personId, since = Instants.Write(since) });

    /// <summary>Checks by id.</summary>
    public static Task<IReadOnlyList<CalendarCheckRow>> ChecksAsync(ReadSession session, IEnumerable<string> ids) =>
        session.ListAsync<CalendarCheckRow>($"{Checks} where {session.Among("c.id", "Ids")} order by c.id", new { Ids = NeverEmpty(ids) });

    /// <summary>Visits to yards, of one person or of anybody, that are planned or changed lately.</summary>
    public static Task<IReadOnlyList<CalendarVisitRow>> VisitsAsync(ReadSession session, Sight sight, string? personId, DateTimeOffset since) => session.ListAsync<CalendarVisitRow>(
        $"""
        {Visits}
        where {session.Sees("v.yard_id")} and (@personId is null or v.fitter_id = @personId) and (v.state = 'planned' or v.changed_at >= @since)
        order by v.id
        """, new { sight.EveryYard, sight.Yards, personId, since = Instants.Write(since) });

    /// <summary>The checks that are booked or done on visits, by horse.</summary>
    public static Task<IReadOnlyList<CalendarCheckRow>> ChecksOfVisitsAsync(ReadSession session, IEnumerable<string> visitIds) => session.ListAsync<CalendarCheckRow>(
        $"""
        {Checks} join visits v on v.id = c.visit_id and v.yard_id = h.yard_id
        where {session.Among("c.visit_id", "Ids")} and c.state in ('booked', 'done') order by h.name, c.id
        """, new { Ids = NeverEmpty(visitIds) });

    // An empty list cannot stand in an `in`.
    private static string[] NeverEmpty(IEnumerable<string> ids) => [.. ids.DefaultIfEmpty("-")];
}
