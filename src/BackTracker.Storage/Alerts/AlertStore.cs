using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Alerts;

/// <summary>Alerts and the steps of their life.</summary>
public static class AlertStore
{
    private const string Select =
        """
        select a.id, a.yard_id, a.horse_id, h.name as horse_name, a.identity, a.concern, a.cause, a.pairing_id, a.commission_id, k.saddler_id, coalesce(s.label, ks.label) as saddle_label, a.measure,
            a.station, a.side, a.check_id, c.kind as check_kind, a.state, a.urgency, a.text, a.book_by, a.due_on, a.booked_on, a.overdue_since, a.news, a.change_no,
            a.waits, a.raised_on, a.acknowledged_at, a.acknowledged_by, a.acknowledged_note, a.settled_at, a.settled_why, a.version, a.created_at
        from alerts a join horses h on h.id = a.horse_id left join pairings p on p.id = a.pairing_id left join saddles s on s.id = p.saddle_id
            left join commissions k on k.id = a.commission_id left join saddles ks on ks.id = k.saddle_id left join checks c on c.id = a.check_id
        """;

    /// <summary>An alert the caller may see.</summary>
    public static Task<AlertRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<AlertRow>(
        $"{Select} where a.id = @id and {session.Sees("a.yard_id", sight)}", new { id, sight.Yards });

    /// <summary>Alerts the caller may see, filtered.</summary>
    public static async Task<Paged<AlertRow>> ListAsync(ReadSession session, Sight sight, AlertFilter filter, Page page) => Paged<AlertRow>.From(
        await session.ListAsync<AlertRow>(
            $"""
            {Select}
            where a.id > @After and {session.Sees("a.yard_id", sight)}
                {filter.YardId.Asks("a.yard_id = @YardId")} {filter.HorseId.Asks("a.horse_id = @HorseId")} {filter.State.Asks("a.state = @State")}
            order by a.id limit @LimitAndOne
            """,
            new { page.After, page.LimitAndOne, sight.Yards, filter.YardId, filter.HorseId, filter.State }),
        page, a => a.Id);

    /// <summary>Open alerts of a horse, whatever yard they were raised in.</summary>
    public static Task<IReadOnlyList<AlertRow>> OpenOfHorseAsync(ReadSession session, string horseId) =>
        session.ListAsync<AlertRow>($"{Select} where a.horse_id = @horseId and a.state <> 'settled' order by a.id", new { horseId });

    /// <summary>Open alerts of a yard.</summary>
    public static Task<IReadOnlyList<AlertRow>> OpenInYardAsync(ReadSession session, string yardId) =>
        session.ListAsync<AlertRow>($"{Select} where a.yard_id = @yardId and a.state <> 'settled' order by a.id", new { yardId });

    /// <summary>Alerts of a yard of which somebody may have to be told: open ones, and settled ones for whose end somebody waits.</summary>
    public static Task<IReadOnlyList<AlertRow>> ToTellInYardAsync(ReadSession session, string yardId) => session.ListAsync<AlertRow>(
        $"""
        {Select} where a.yard_id = @yardId and a.state <> 'settled'
        union all
        {Select} where a.yard_id = @yardId and a.state = 'settled' and a.waits <> 'nobody' order by 1
        """, new { yardId });

    /// <summary>Alerts by id.</summary>
    public static Task<IReadOnlyList<AlertRow>> ByIdAsync(ReadSession session, IReadOnlyList<string> ids) =>
        session.ListAsync<AlertRow>($"{Select} where {session.Among("a.id", "ids")} order by a.id", new { ids });

    // That it is not 'nobody' is said for SQLite, which would else not see that the index of those who wait is enough.
    /// <summary>Yards in which somebody waits for the end of the night.</summary>
    public static Task<IReadOnlyList<string>> YardsWaitingForMorningAsync(ReadSession session) =>
        session.ListAsync<string>("select distinct yard_id from alerts where waits = 'morning' and waits <> 'nobody' order by yard_id");

    /// <summary>Who is booked for what in a yard.</summary>
    public static Task<IReadOnlyList<BookedPersonRow>> BookedInYardAsync(ReadSession session, string yardId) => session.ListAsync<BookedPersonRow>(
        """
        select c.id as check_id, c.horse_id, c.fitter_id as person_id from checks c join horses h on h.id = c.horse_id
        where h.yard_id = @yardId and c.state = 'booked' and c.fitter_id is not null order by c.id
        """, new { yardId });

    /// <summary>Adds an alert.</summary>
    public static Task AddAsync(WriteSession session, AlertRow alert) => session.ExecuteAsync(
        """
        insert into alerts (id, yard_id, horse_id, identity, concern, cause, pairing_id, commission_id, measure, station, side, check_id, state, urgency, text,
            book_by, due_on, booked_on, overdue_since, news, change_no, waits, raised_on, version, created_at)
        values (@Id, @YardId, @HorseId, @Identity, @Concern, @Cause, @PairingId, @CommissionId, @Measure, @Station, @Side, @CheckId, @State, @Urgency, @Text,
            @BookBy, @DueOn, @BookedOn, @OverdueSince, @News, @ChangeNo, @Waits, @RaisedOn, 1, @CreatedAt)
        """, alert);

    /// <summary>Writes down what the service found. Who acknowledged it meanwhile is left alone.</summary>
    public static Task ChangeAsync(WriteSession session, AlertRow alert) => session.ExecuteAsync(
        """
        update alerts set check_id = @CheckId, urgency = @Urgency, text = @Text, book_by = @BookBy, due_on = @DueOn, booked_on = @BookedOn,
            overdue_since = @OverdueSince, news = @News, change_no = @ChangeNo, version = version + 1
        where id = @Id
        """, alert);

    /// <summary>Takes back that an alert was acknowledged; its steps keep that it was.</summary>
    public static Task ReopenAsync(WriteSession session, string id) => session.ExecuteAsync(
        "update alerts set state = 'raised', acknowledged_at = null, acknowledged_by = null, acknowledged_note = null where id = @id", new { id });

    /// <summary>Settles an alert.</summary>
    public static Task SettleAsync(WriteSession session, AlertRow alert, string why) => session.ExecuteAsync(
        """
        update alerts set state = 'settled', news = 'settled', change_no = change_no + 1, settled_at = @now, settled_why = @why, version = version + 1
        where id = @Id
        """, new { alert.Id, why, now = session.NowText });

    /// <summary>Acknowledges a raised alert if it still has the version that was read; false when something was quicker.</summary>
    public static async Task<bool> AcknowledgeAsync(WriteSession session, AlertRow alert, string? personId, string? note) => await session.ExecuteAsync(
        """
        update alerts set state = 'acknowledged', acknowledged_at = @now, acknowledged_by = @personId, acknowledged_note = @note, version = version + 1
        where id = @Id and version = @Version and state = 'raised'
        """, new { alert.Id, alert.Version, personId, note, now = session.NowText }) == 1;

    /// <summary>Notes for what somebody waits who is to be told.</summary>
    public static Task NoteWaitAsync(WriteSession session, string id, string waits) =>
        session.ExecuteAsync("update alerts set waits = @waits where id = @id and waits <> @waits", new { id, waits });

    /// <summary>Notes a step.</summary>
    public static Task NoteStepAsync(WriteSession session, string alertId, string action, string note) => session.ExecuteAsync(
        "insert into alert_steps (id, alert_id, action, note, key_id, created_at) values (@stepId, @alertId, @action, @note, @actor, @now)",
        new { stepId = session.NewId(), alertId, action, note, actor = session.Actor, now = session.NowText });

    /// <summary>The steps of an alert, first to last.</summary>
    public static Task<IReadOnlyList<AlertStepRow>> StepsAsync(ReadSession session, string alertId) => session.ListAsync<AlertStepRow>(
        "select action, note, key_id, created_at from alert_steps where alert_id = @alertId order by id", new { alertId });
}
