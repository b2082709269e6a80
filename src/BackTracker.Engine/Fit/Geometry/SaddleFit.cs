using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>Room between the channel's roof and the skin over the midline.</summary>
/// <param name="AtMm">Place, mm from T8.</param>
/// <param name="RoomMm">Room, mm.</param>
public readonly record struct Clearance(double AtMm, double RoomMm);

/// <summary>Where the seat is, and what else is not seen on tree and back.</summary>
/// <param name="Seat">Where the load of a rider acts: X = mm from T8, Y = lateral mm, + = right.</param>
/// <param name="SpinousHalfMm">Half width of the spinous processes with their ligament, mm; common practice, no source.</param>
/// <param name="Size">How finely the panel is divided.</param>
public readonly record struct FitSetting(PointMm Seat, double SpinousHalfMm, PatchSize Size)
{
    /// <summary>25 mm.</summary>
    public const double UsualSpinousHalfMm = 25;

    /// <summary>The seat over the middle of the tree.</summary>
    public static FitSetting For(TreeShape tree)
    {
        ArgumentNullException.ThrowIfNull(tree);
        return new FitSetting(new PointMm(.5 * (tree.FrontMm + tree.RearMm), 0), UsualSpinousHalfMm, PatchSize.Usual);
    }
}

/// <summary>
/// A tree with its panel on a back, without a rider: a static picture of a rigid tree on a still horse that moves straight down only.
/// Everything in mm and degrees.
/// </summary>
public sealed class SaddleFit
{
    private SaddleFit(TreeShape tree, GapField field, IReadOnlyList<StationComparison> stations, Pose rest)
    {
        (Tree, Field, Stations, Rest) = (tree, field, stations, rest);
    }

    /// <summary>The tree.</summary>
    public TreeShape Tree { get; }

    /// <summary>Gaps between panel and skin before it was put down.</summary>
    internal GapField Field { get; }

    /// <summary>Sections under the tree, front to rear.</summary>
    public IReadOnlyList<StationComparison> Stations { get; }

    /// <summary>How it lies.</summary>
    public Pose Rest { get; }

    /// <summary>What is left between panel and skin.</summary>
    public RestGaps Gaps => RestGaps.Of(Field, Rest);

    /// <summary>How far the load point sank from the datum, mm.</summary>
    public required double LoadPointDropMm { get; init; }

    /// <summary>Room over the spine at every edge of a strip, front to rear.</summary>
    public required IReadOnlyList<Clearance> Clearances { get; init; }

    /// <summary>Narrowest half of the channel less half the spinous processes, left, mm.</summary>
    public required double LeftChannelClearanceMm { get; init; }

    /// <summary>The same on the right.</summary>
    public required double RightChannelClearanceMm { get; init; }

    /// <summary>Bridging on the left.</summary>
    public required BridgingGap LeftBridging { get; init; }

    /// <summary>Bridging on the right.</summary>
    public required BridgingGap RightBridging { get; init; }

    /// <summary>How much more the pitch slopes with the load at two thirds of the length than at one third.</summary>
    public required double RockingSlope { get; init; }

    /// <summary>Travel of an end as it rocks, mm.</summary>
    public double RockingMm => RockingSlope * Tree.LengthMm;

    /// <summary>The same as an angle, degrees.</summary>
    public double RockingDeg => double.RadiansToDegrees(RockingSlope);

    /// <summary>The least room over the spine; of places that tie the frontmost.</summary>
    public Clearance SpineClearance
    {
        get
        {
            var least = Clearances.Min(place => place.RoomMm);
            return Clearances.First(place => place.RoomMm <= least + 1e-6);
        }
    }

    /// <summary>Lays a tree with its panel on a back.</summary>
    /// <exception cref="GeometryException">They cannot be laid on each other.</exception>
    public static SaddleFit Of(BackShape back, TreeShape tree, Panel panel, FitSetting setting) => On(back, LaidTree.For(back, tree, panel, setting));

    /// <summary>Lays a tree that was made ready on a back: for many backs that differ in shape only.</summary>
    /// <exception cref="GeometryException">They cannot be laid on each other.</exception>
    /// <exception cref="ArgumentException">The back has its sections at other places than those the tree was made ready for.</exception>
    public static SaddleFit On(BackShape back, LaidTree laid)
    {
        ArgumentNullException.ThrowIfNull(back);
        ArgumentNullException.ThrowIfNull(laid);
        laid.Expect(back);
        var (tree, seat, field) = (laid.Tree, laid.Setting.Seat, GapField.Over(back, laid.Patches));
        var saddle = new RestingSaddle(field);
        var rest = saddle.Under(seat);
        return new SaddleFit(tree, field, StationComparison.Of(back, laid.Faces), rest)
        {
            LoadPointDropMm = rest.DropAt(seat.X - laid.Patches.MidMm, seat.Y),
            Clearances = laid.ClearancesOver(back, rest),
            LeftChannelClearanceMm = laid.LeftChannelClearanceMm,
            RightChannelClearanceMm = laid.RightChannelClearanceMm,
            LeftBridging = BridgingGap.Of(field, Side.Left),
            RightBridging = BridgingGap.Of(field, Side.Right),
            RockingSlope = saddle.RockingSlope(seat.Y),
        };
    }
}
