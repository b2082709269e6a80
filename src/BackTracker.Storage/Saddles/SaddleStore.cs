using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Saddles;

/// <summary>Saddles, the shapes their trees had, and what was changed on them.</summary>
public static class SaddleStore
{
    private const string Columns = "s.id, s.yard_id, s.label, s.maker, s.serial, s.tree, s.filling, s.made_on, s.version, s.created_at";
    private const string ShapeColumns = "t.id, t.saddle_id, t.from_day, t.body, t.voided_at, t.void_reason, t.version, t.created_at";
    private const string AdjustmentColumns =
        "a.id, a.saddle_id, a.check_id, a.done_on, a.done_by, a.kind, a.zones, a.note, a.voided_at, a.void_reason, a.version, a.created_at";

    /// <summary>A saddle the caller may see.</summary>
    public static Task<SaddleRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<SaddleRow>(
        $"select {Columns} from saddles s where s.id = @id and {session.Sees("s.yard_id", sight)}", new { id, sight.Yards });

    /// <summary>Saddles the caller may see.</summary>
    public static async Task<Paged<SaddleRow>> ListAsync(ReadSession session, Sight sight, string? yardId, Page page) => Paged<SaddleRow>.From(
        await session.ListAsync<SaddleRow>(
            $"""
            select {Columns} from saddles s
            where s.id > @After and {session.Sees("s.yard_id", sight)} and (@yardId is null or s.yard_id = @yardId)
            order by s.id limit @LimitAndOne
            """, new { yardId, page.After, page.LimitAndOne, sight.Yards }),
        page, s => s.Id);

    /// <summary>Adds a saddle.</summary>
    public static Task AddAsync(WriteSession session, SaddleRow saddle) => session.ExecuteAsync(
        """
        insert into saddles (id, yard_id, label, maker, serial, tree, filling, made_on, version, created_at)
        values (@Id, @YardId, @Label, @Maker, @Serial, @Tree, @Filling, @MadeOn, 1, @CreatedAt)
        """, saddle);

    /// <summary>Changes a saddle if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> ChangeAsync(WriteSession session, SaddleRow saddle) => await session.ExecuteAsync(
        """
        update saddles set label = @Label, maker = @Maker, serial = @Serial, tree = @Tree, filling = @Filling, made_on = @MadeOn, version = version + 1
        where id = @Id and version = @Version
        """, saddle) == 1;

    /// <summary>Adds a shape.</summary>
    public static Task AddShapeAsync(WriteSession session, TreeShapeRow shape) => session.ExecuteAsync(
        "insert into tree_shapes (id, saddle_id, from_day, body, version, created_at) values (@Id, @SaddleId, @FromDay, @Body, 1, @CreatedAt)", shape);

    /// <summary>A shape of a saddle the caller may see.</summary>
    public static Task<TreeShapeRow?> FindShapeAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<TreeShapeRow>(
        $"select {ShapeColumns} from tree_shapes t join saddles s on s.id = t.saddle_id where t.id = @id and {session.Sees("s.yard_id", sight)}",
        new { id, sight.Yards });

    /// <summary>Every shape of a saddle, voided ones too.</summary>
    public static async Task<Paged<TreeShapeRow>> ListShapesAsync(ReadSession session, string saddleId, Page page) => Paged<TreeShapeRow>.From(
        await session.ListAsync<TreeShapeRow>(
            $"select {ShapeColumns} from tree_shapes t where t.saddle_id = @saddleId and t.id > @After order by t.id limit @LimitAndOne",
            new { saddleId, page.After, page.LimitAndOne }),
        page, t => t.Id);

    /// <summary>Shapes of saddles that were not voided.</summary>
    public static Task<IReadOnlyList<TreeShapeRow>> TreeShapesAsync(ReadSession session, IReadOnlyList<string> saddleIds) => session.ListAsync<TreeShapeRow>(
        $"select {ShapeColumns} from tree_shapes t where {session.Among("t.saddle_id", "saddleIds")} and t.voided_at is null order by t.from_day, t.id",
        new { saddleIds });

    /// <summary>Voids a shape; false when it was void already.</summary>
    public static async Task<bool> VoidShapeAsync(WriteSession session, string id, string reason) => await session.ExecuteAsync(
        "update tree_shapes set voided_at = @now, void_reason = @reason, version = version + 1 where id = @id and voided_at is null",
        new { id, reason, now = session.NowText }) == 1;

    /// <summary>Adds a change.</summary>
    public static Task AddAdjustmentAsync(WriteSession session, AdjustmentRow adjustment) => session.ExecuteAsync(
        """
        insert into adjustments (id, saddle_id, check_id, done_on, done_by, kind, zones, note, version, created_at)
        values (@Id, @SaddleId, @CheckId, @DoneOn, @DoneBy, @Kind, @Zones, @Note, 1, @CreatedAt)
        """, adjustment);

    /// <summary>A change of a saddle the caller may see.</summary>
    public static Task<AdjustmentRow?> FindAdjustmentAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<AdjustmentRow>(
        $"select {AdjustmentColumns} from adjustments a join saddles s on s.id = a.saddle_id where a.id = @id and {session.Sees("s.yard_id", sight)}",
        new { id, sight.Yards });

    /// <summary>Every change of a saddle, voided ones too.</summary>
    public static async Task<Paged<AdjustmentRow>> ListAdjustmentsAsync(ReadSession session, string saddleId, Page page) => Paged<AdjustmentRow>.From(
        await session.ListAsync<AdjustmentRow>(
            $"select {AdjustmentColumns} from adjustments a where a.saddle_id = @saddleId and a.id > @After order by a.id limit @LimitAndOne",
            new { saddleId, page.After, page.LimitAndOne }),
        page, a => a.Id);

    /// <summary>Changes of saddles that were not voided.</summary>
    public static Task<IReadOnlyList<AdjustmentRow>> AdjustmentsAsync(ReadSession session, IReadOnlyList<string> saddleIds) => session.ListAsync<AdjustmentRow>(
        $"select {AdjustmentColumns} from adjustments a where {session.Among("a.saddle_id", "saddleIds")} and a.voided_at is null order by a.done_on, a.id",
        new { saddleIds });

    /// <summary>Voids a change; false when it was void already.</summary>
    public static async Task<bool> VoidAdjustmentAsync(WriteSession session, string id, string reason) => await session.ExecuteAsync(
        "update adjustments set voided_at = @now, void_reason = @reason, version = version + 1 where id = @id and voided_at is null",
        new { id, reason, now = session.NowText }) == 1;
}
