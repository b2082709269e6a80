using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Checks;

/// <summary>A check.</summary>
public sealed record CheckRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>The yard the horse is in now.</summary>
    public string YardId { get; init; } = "";

    /// <summary>What the yard calls the horse.</summary>
    public string HorseName { get; init; } = "";

    /// <summary>The pairing; null for a re-measure or a vet.</summary>
    public string? PairingId { get; init; }

    /// <summary>What is to be done.</summary>
    public string Kind { get; init; } = "";

    /// <summary>open, booked, done or dropped.</summary>
    public string State { get; init; } = "";

    /// <summary>routine, soon or now.</summary>
    public string Urgency { get; init; } = "";

    /// <summary>First sensible day.</summary>
    public string OpensOn { get; init; } = "";

    /// <summary>Last day to book.</summary>
    public string BookBy { get; init; } = "";

    /// <summary>The day it is due.</summary>
    public string DueOn { get; init; } = "";

    /// <summary>Last day of its window.</summary>
    public string ClosesOn { get; init; } = "";

    /// <summary>Why, as a JSON list.</summary>
    public string Reasons { get; init; } = "[]";

    /// <summary>The assessment that opened or last revised it.</summary>
    public string? AssessmentId { get; init; }

    /// <summary>Who comes.</summary>
    public string? FitterId { get; init; }

    /// <summary>The visit it is part of.</summary>
    public string? VisitId { get; init; }

    /// <summary>Day of the visit.</summary>
    public string? BookedOn { get; init; }

    /// <summary>Day a person put it off to.</summary>
    public string? PostponedUntil { get; init; }

    /// <summary>1 where a person accepted the risk of putting it off.</summary>
    public int AcceptedRisk { get; init; }

    /// <summary>Day it was done or dropped.</summary>
    public string? DoneOn { get; init; }

    /// <summary>Who did it.</summary>
    public string? DoneBy { get; init; }

    /// <summary>What was found, as a JSON list.</summary>
    public string? Findings { get; init; }

    /// <summary>Why it was closed.</summary>
    public string? ClosingNote { get; init; }

    /// <summary>1 where a person, and not the service, dropped it.</summary>
    public int DroppedByPerson { get; init; }

    /// <summary>How often its day, its state or the person changed.</summary>
    public long Sequence { get; init; }

    /// <summary>When it last changed.</summary>
    public string ChangedAt { get; init; } = "";

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was opened.</summary>
    public string CreatedAt { get; init; } = "";

    /// <summary>The day it was opened, in the yard's time.</summary>
    public string OpenedOn { get; init; } = "";

    /// <summary>The latest due day of which people were told that it has come; empty before.</summary>
    public string DueToldFor { get; init; } = "";

    /// <summary>The latest due day of which people were told that it has passed; empty before.</summary>
    public string OverdueToldFor { get; init; } = "";
}

/// <summary>One step in the life of a check.</summary>
public sealed record CheckStepRow
{
    /// <summary>What happened: open, revise, book, move, unbook, postpone, complete, drop.</summary>
    public string Action { get; init; } = "";

    /// <summary>Why, in words.</summary>
    public string? Note { get; init; }

    /// <summary>Its days after the step, as JSON.</summary>
    public string Days { get; init; } = "{}";

    /// <summary>Who: a key, or the service itself.</summary>
    public string? KeyId { get; init; }

    /// <summary>When.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>A check of a saddle that was done.</summary>
public sealed record SaddleLookRow
{
    /// <summary>The saddle.</summary>
    public string SaddleId { get; init; } = "";

    /// <summary>The check.</summary>
    public string CheckId { get; init; } = "";

    /// <summary>Day it was done.</summary>
    public string DoneOn { get; init; } = "";
}

/// <summary>Which checks to list.</summary>
/// <param name="YardId">Of a yard; null for all.</param>
/// <param name="HorseId">Of a horse; null for all.</param>
/// <param name="FitterId">Of a fitter; null for all.</param>
/// <param name="State">In a state; null for all.</param>
/// <param name="DueBefore">Due before a day; null for all.</param>
public sealed record CheckFilter(string? YardId, string? HorseId, string? FitterId, string? State, string? DueBefore);

/// <summary>Checks and the steps of their life.</summary>
public static class CheckStore
{
    private const string Select =
        """
        select c.id, c.horse_id, h.yard_id, h.name as horse_name, c.pairing_id, c.kind, c.state, c.urgency, c.opens_on, c.book_by, c.due_on,
            c.closes_on, c.reasons, c.assessment_id, c.fitter_id, c.visit_id, c.booked_on, c.postponed_until, c.accepted_risk, c.done_on,
            c.done_by, c.findings, c.closing_note, c.dropped_by_person, c.sequence, c.changed_at, c.version, c.created_at,
            c.opened_on, c.due_told_for, c.overdue_told_for
        from checks c join horses h on h.id = c.horse_id
        """;

    /// <summary>A check the caller may see.</summary>
    public static Task<CheckRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<CheckRow>(
        $"{Select} where c.id = @id and {session.Sees("h.yard_id", sight)}", new { id, sight.Yards });

    /// <summary>Checks the caller may see, filtered.</summary>
    public static async Task<Paged<CheckRow>> ListAsync(ReadSession session, Sight sight, CheckFilter filter, Page page) => Paged<CheckRow>.From(
        await session.ListAsync<CheckRow>(
            $"""
            {Select}
            where c.id > @After and {session.Sees("h.yard_id", sight)}
                {filter.YardId.Asks("h.yard_id = @YardId")} {filter.HorseId.Asks("c.horse_id = @HorseId")} {filter.FitterId.Asks("c.fitter_id = @FitterId")}
                {filter.State.Asks("c.state = @State")} {filter.DueBefore.Asks("c.due_on < @DueBefore")}
            order by c.id limit @LimitAndOne
            """,
            new { page.After, page.LimitAndOne, sight.Yards, filter.YardId, filter.HorseId, filter.FitterId, filter.State, filter.DueBefore }),
        page, c => c.Id);

    /// <summary>Every check of a horse, oldest first.</summary>
    public static Task<IReadOnlyList<CheckRow>> OfHorseAsync(ReadSession session, string horseId) =>
        session.ListAsync<CheckRow>($"{Select} where c.horse_id = @horseId order by c.id", new { horseId });

    /// <summary>Checks of saddles that were done on other horses than this one.</summary>
    public static Task<IReadOnlyList<SaddleLookRow>> LooksOnOthersAsync(ReadSession session, string horseId, IReadOnlyList<string> saddleIds) => session.ListAsync<SaddleLookRow>(
        $"""
        select p.saddle_id, c.id as check_id, c.done_on
        from pairings p join checks c on c.horse_id = p.horse_id and c.pairing_id = p.id
        where {session.Among("p.saddle_id", "saddleIds")} and p.horse_id <> @horseId and c.state = 'done' order by c.id
        """, new { horseId, saddleIds });

    /// <summary>Open and booked checks of a yard's horses.</summary>
    public static Task<IReadOnlyList<CheckRow>> AliveInYardAsync(ReadSession session, string yardId) => session.ListAsync<CheckRow>(
        $"{Select} where h.yard_id = @yardId and c.state in ('open', 'booked') order by c.due_on, c.id", new { yardId });

    /// <summary>The checks of visits that are at the yard of their visit, by horse.</summary>
    public static Task<IReadOnlyList<CheckRow>> OfVisitsAsync(ReadSession session, IReadOnlyCollection<string> visitIds) =>
        session.ListAsync<CheckRow>(
            $"""
            {Select} join visits v on v.id = c.visit_id and v.yard_id = h.yard_id
            where {session.Among("c.visit_id", "Ids")} order by h.name, c.id
            """, new { Ids = visitIds.Count == 0 ? ["-"] : visitIds.ToArray() });

    /// <summary>Open and booked checks of a horse, in order of their day.</summary>
    public static Task<IReadOnlyList<CheckRow>> AliveOfHorseAsync(ReadSession session, string horseId) => session.ListAsync<CheckRow>(
        $"{Select} where c.horse_id = @horseId and c.state in ('open', 'booked') order by c.due_on, c.id", new { horseId });

    /// <summary>Remembers for which day people were told that a check is due, and that it is overdue. Not a change of the check.</summary>
    public static Task RememberToldAsync(WriteSession session, CheckRow check) => session.ExecuteAsync(
        "update checks set due_told_for = @DueToldFor, overdue_told_for = @OverdueToldFor where id = @Id", check);

    /// <summary>Adds a check.</summary>
    public static Task AddAsync(WriteSession session, CheckRow check) => session.ExecuteAsync(
        """
        insert into checks (id, horse_id, pairing_id, kind, state, urgency, opens_on, book_by, due_on, closes_on, reasons, assessment_id,
            accepted_risk, dropped_by_person, sequence, changed_at, version, created_at, opened_on)
        values (@Id, @HorseId, @PairingId, @Kind, @State, @Urgency, @OpensOn, @BookBy, @DueOn, @ClosesOn, @Reasons, @AssessmentId,
            0, 0, 0, @CreatedAt, 1, @CreatedAt, @OpenedOn)
        """, check);

    /// <summary>Writes a check back if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> ChangeAsync(WriteSession session, CheckRow check)
    {
        await TouchVisitsAsync(session, check);
        return await session.ExecuteAsync(
            $"""
            update checks set state = @State, urgency = @Urgency, opens_on = @OpensOn, book_by = @BookBy, due_on = @DueOn, closes_on = @ClosesOn,
                reasons = @Reasons, assessment_id = @AssessmentId, fitter_id = @FitterId, visit_id = @VisitId, booked_on = @BookedOn,
                postponed_until = @PostponedUntil, accepted_risk = @AcceptedRisk, done_on = @DoneOn, done_by = @DoneBy, findings = @Findings,
                closing_note = @ClosingNote, dropped_by_person = @DroppedByPerson, version = version + 1, changed_at = @ChangedAt,
                sequence = sequence + case when {IsRescheduled} then 1 else 0 end
            where id = @Id and version = @Version
            """, check with { ChangedAt = session.NowText }) == 1;
    }

    // What calendars have to be told: a new state, day or person, and that it has become part of a visit.
    private const string IsRescheduled =
        """
        state <> @State or book_by <> @BookBy or due_on <> @DueOn or coalesce(booked_on, '') <> coalesce(@BookedOn, '')
            or coalesce(fitter_id, '') <> coalesce(@FitterId, '') or coalesce(visit_id, '') <> coalesce(@VisitId, '')
        """;

    // A visit shows its checks, so that it changes with them: the one it leaves and the one it joins.
    private static Task<int> TouchVisitsAsync(WriteSession session, CheckRow check) => session.ExecuteAsync(
        """
        update visits set version = version + 1, changed_at = @now
        where id = @VisitId or id = (select c.visit_id from checks c where c.id = @Id)
        """, new { check.Id, check.VisitId, now = session.NowText });

    /// <summary>Notes a step, with the booking as it stands after it.</summary>
    public static Task NoteStepAsync(WriteSession session, CheckRow check, string action, string? note, string days) => session.ExecuteAsync(
        """
        insert into check_history (id, check_id, action, note, days, booked_on, fitter_id, visit_id, key_id, created_at)
        values (@stepId, @Id, @action, @note, @days, @BookedOn, @FitterId, @VisitId, @actor, @now)
        """,
        new { stepId = session.NewId(), check.Id, action, note, days, check.BookedOn, check.FitterId, check.VisitId, actor = session.Actor, now = session.NowText });

    /// <summary>The steps of a check, first to last.</summary>
    public static Task<IReadOnlyList<CheckStepRow>> StepsAsync(ReadSession session, string checkId) => session.ListAsync<CheckStepRow>(
        "select action, note, days, key_id, created_at from check_history where check_id = @checkId order by id", new { checkId });
}
