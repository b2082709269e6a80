using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Commissions;

/// <summary>Commissions and the steps they took.</summary>
public static class CommissionStore
{
    private const string Select =
        """
        select c.id, c.horse_id, c.saddle_id, c.saddler_id, c.ordered_on, c.delivery_on, c.ordered_tree, c.tree_front_from_t8_mm, c.pad_mm, c.note,
            c.stage, c.round, c.told_at_risk, c.version, c.created_at, h.yard_id, s.label as saddle_label, s.tree as saddle_tree, s.filling as saddle_filling
        from commissions c join horses h on h.id = c.horse_id join saddles s on s.id = c.saddle_id
        """;

    private const string IsBeingMade = "c.stage not in ('delivered', 'bedding-in', 'settled', 'refused')";

    /// <summary>A commission for a horse the caller may see.</summary>
    public static Task<CommissionRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<CommissionRow>(
        $"{Select} where c.id = @id and {session.Sees("h.yard_id", sight)}", new { id, sight.Yards });

    /// <summary>Commissions for horses the caller may see, filtered.</summary>
    public static async Task<Paged<CommissionRow>> ListAsync(ReadSession session, Sight sight, CommissionFilter filter, Page page) => Paged<CommissionRow>.From(
        await session.ListAsync<CommissionRow>(
            $"""
            {Select}
            where c.id > @After and {session.Sees("h.yard_id", sight)}
                {filter.YardId.Asks("h.yard_id = @YardId")} {filter.HorseId.Asks("c.horse_id = @HorseId")} {filter.Stage.Asks("c.stage = @Stage")}
            order by c.id limit @LimitAndOne
            """, new { page.After, page.LimitAndOne, sight.Yards, filter.YardId, filter.HorseId, filter.Stage }),
        page, c => c.Id);

    /// <summary>The commissions of a horse whose saddle is still being made.</summary>
    public static Task<IReadOnlyList<CommissionRow>> BeingMadeForAsync(ReadSession session, string horseId) =>
        session.ListAsync<CommissionRow>($"{Select} where c.horse_id = @horseId and {IsBeingMade} order by c.id", new { horseId });

    /// <summary>The commission under which a saddle is being made; null where there is none.</summary>
    public static Task<CommissionRow?> OfSaddleAsync(ReadSession session, string saddleId) =>
        session.FirstAsync<CommissionRow>($"{Select} where c.saddle_id = @saddleId and {IsBeingMade}", new { saddleId });

    /// <summary>Adds a commission.</summary>
    public static Task AddAsync(WriteSession session, CommissionRow commission) => session.ExecuteAsync(
        """
        insert into commissions (id, horse_id, saddle_id, saddler_id, ordered_on, delivery_on, ordered_tree, tree_front_from_t8_mm, pad_mm, note,
            stage, round, told_at_risk, version, created_at)
        values (@Id, @HorseId, @SaddleId, @SaddlerId, @OrderedOn, @DeliveryOn, @OrderedTree, @TreeFrontFromT8Mm, @PadMm, @Note,
            @Stage, 0, 0, 1, @CreatedAt)
        """, commission);

    /// <summary>Changes a commission if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> ChangeAsync(WriteSession session, CommissionRow commission) => await session.ExecuteAsync(
        """
        update commissions set saddler_id = @SaddlerId, ordered_on = @OrderedOn, delivery_on = @DeliveryOn, ordered_tree = @OrderedTree,
            tree_front_from_t8_mm = @TreeFrontFromT8Mm, pad_mm = @PadMm, note = @Note, stage = @Stage, round = @Round, version = version + 1
        where id = @Id and version = @Version
        """, commission) == 1;

    /// <summary>Keeps whether it was told that it is at risk; false when the commission was changed meanwhile.</summary>
    public static async Task<bool> RememberRiskAsync(WriteSession session, CommissionRow commission) => await session.ExecuteAsync(
        "update commissions set told_at_risk = @ToldAtRisk where id = @Id and version = @Version", commission) == 1;

    /// <summary>The steps of commissions, each in order.</summary>
    public static Task<IReadOnlyList<CommissionStepRow>> StepsAsync(ReadSession session, IReadOnlyList<string> commissionIds) => session.ListAsync<CommissionStepRow>(
        $"""
        select t.id, t.commission_id, t.stage, t.on_day, t.note, t.override_reason, t.measurement_id, t.measured_on, t.created_at
        from commission_steps t where {session.Among("t.commission_id", "commissionIds")} order by t.id
        """, new { commissionIds });

    /// <summary>Adds a step.</summary>
    public static Task AddStepAsync(WriteSession session, CommissionStepRow step) => session.ExecuteAsync(
        """
        insert into commission_steps (id, commission_id, stage, on_day, note, override_reason, measurement_id, measured_on, created_at)
        values (@Id, @CommissionId, @Stage, @OnDay, @Note, @OverrideReason, @MeasurementId, @MeasuredOn, @CreatedAt)
        """, step);
}
