using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Commissions;

/// <summary>What a commission gathers on its way: templates as sent, trials, clearances. Nothing of it is changed afterwards.</summary>
public static class CommissionRecords
{
    private const string Templates = "select t.id, t.commission_id, t.measurement_id, t.measured_on, t.sent_on, t.body, t.checksum, t.created_at from commission_templates t";

    private const string Trials =
        """
        select t.id, t.commission_id, t.round, t.step, t.on_day, t.pad_mm, t.items, t.bears_load_by, t.bears_load_on, t.bears_load_text, t.created_at
        from commission_trials t
        """;

    /// <summary>Templates of a commission.</summary>
    public static async Task<Paged<TemplateRow>> ListTemplatesAsync(ReadSession session, string commissionId, Page page) => Paged<TemplateRow>.From(
        await session.ListAsync<TemplateRow>($"{Templates} {OnPage}", new { commissionId, page.After, page.LimitAndOne }), page, t => t.Id);

    /// <summary>A template of a commission.</summary>
    public static Task<TemplateRow?> FindTemplateAsync(ReadSession session, string commissionId, string id) =>
        session.FirstAsync<TemplateRow>($"{Templates} where t.commission_id = @commissionId and t.id = @id", new { commissionId, id });

    /// <summary>Keeps a template as it was sent.</summary>
    public static Task AddTemplateAsync(WriteSession session, TemplateRow template) => session.ExecuteAsync(
        """
        insert into commission_templates (id, commission_id, measurement_id, measured_on, sent_on, body, checksum, created_at)
        values (@Id, @CommissionId, @MeasurementId, @MeasuredOn, @SentOn, @Body, @Checksum, @CreatedAt)
        """, template);

    /// <summary>What was found in trials of a commission.</summary>
    public static async Task<Paged<TrialRow>> ListTrialsAsync(ReadSession session, string commissionId, Page page) => Paged<TrialRow>.From(
        await session.ListAsync<TrialRow>($"{Trials} {OnPage}", new { commissionId, page.After, page.LimitAndOne }), page, t => t.Id);

    /// <summary>What was found in one trial of a commission, in order.</summary>
    public static Task<IReadOnlyList<TrialRow>> TrialAsync(ReadSession session, string commissionId, int round) =>
        session.ListAsync<TrialRow>($"{Trials} where t.commission_id = @commissionId and t.round = @round order by t.id", new { commissionId, round });

    /// <summary>Adds what was found.</summary>
    public static Task AddTrialAsync(WriteSession session, TrialRow trial) => session.ExecuteAsync(
        """
        insert into commission_trials (id, commission_id, round, step, on_day, pad_mm, items, bears_load_by, bears_load_on, bears_load_text, created_at)
        values (@Id, @CommissionId, @Round, @Step, @OnDay, @PadMm, @Items, @BearsLoadBy, @BearsLoadOn, @BearsLoadText, @CreatedAt)
        """, trial);

    /// <summary>Clearances of a commission, in order of day.</summary>
    public static Task<IReadOnlyList<ClearanceRow>> ClearancesAsync(ReadSession session, string commissionId) => session.ListAsync<ClearanceRow>(
        """
        select t.id, t.commission_id, t.on_day, t.ridden_hours, t.clearance_mm, t.verdict, t.note, t.created_at
        from commission_clearances t where t.commission_id = @commissionId order by t.on_day, t.id
        """, new { commissionId });

    /// <summary>Adds a clearance.</summary>
    public static Task AddClearanceAsync(WriteSession session, ClearanceRow clearance) => session.ExecuteAsync(
        """
        insert into commission_clearances (id, commission_id, on_day, ridden_hours, clearance_mm, verdict, note, created_at)
        values (@Id, @CommissionId, @OnDay, @RiddenHours, @ClearanceMm, @Verdict, @Note, @CreatedAt)
        """, clearance);

    private const string OnPage = "where t.commission_id = @commissionId and t.id > @After order by t.id limit @LimitAndOne";
}
