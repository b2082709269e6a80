using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit;

/// <summary>The tree as it is on a day: the latest shape that was measured, and what was altered on the saddle since.</summary>
/// <param name="Shape">The shape.</param>
/// <param name="Since">Day of the latest measurement or alteration of the tree itself.</param>
/// <param name="PanelSince">Day of the latest measurement or alteration of tree or panel.</param>
/// <param name="Widths">Widths by station from front to rear, alterations counted in.</param>
public sealed record EffectiveTree(TreeShapeFact Shape, DateOnly Since, DateOnly PanelSince, IReadOnlyList<TreeWidth> Widths)
{
    private AdjustmentFact[] Changes { get; init; } = [];

    /// <summary>Length of the bearing surface, mm: as measured, or to the last place at which the tree was.</summary>
    public double LengthMm => Math.Max(Shape.BearingLengthMm, Shape.Stations.Count > 0 ? Shape.Stations[^1].PositionMm : 0);

    /// <summary>Id of the shape.</summary>
    public string ShapeId => Shape.Id;

    /// <summary>
    /// The tree of a pairing on <paramref name="day"/>; null where no shape was measured by then. A change on the day of the shape
    /// counts as measured with it. Flocking, shims and pads never change the width of a tree: padding never cures a narrow saddle.
    /// </summary>
    public static EffectiveTree? On(PairingFact pairing, DateOnly day)
    {
        ArgumentNullException.ThrowIfNull(pairing);
        var shape = pairing.TreeShapes
            .Where(shape => shape.From <= day)
            .OrderBy(shape => shape.From)
            .ThenBy(shape => shape.Id, StringComparer.Ordinal)
            .LastOrDefault();
        if (shape is null)
            return null;
        AdjustmentFact[] changes = [.. pairing.Adjustments.Where(change => change.On > shape.From && change.On <= day)];
        var tree = changes.Where(change => change.Kind == AdjustmentKind.Tree).ToList();
        return new EffectiveTree(
            shape,
            tree.Select(change => change.On).Append(shape.From).Max(),
            changes.Where(change => change.Zones.Count > 0).Select(change => change.On).Append(shape.From).Max(),
            [.. shape.Widths.OrderBy(width => width.Station).Select(width => Altered(width, tree))])
        {
            Changes = changes,
        };
    }

    /// <summary>Third of the panel over a station: front T5 to T10, middle T11 to T15, rear T16 to T18.</summary>
    public static Zone ZoneOf(Station station) => station.Vertebra switch
    {
        <= 10 => Zone.Front,
        <= 15 => Zone.Middle,
        _ => Zone.Rear,
    };

    /// <summary>The tree laid along the back with its front edge at a place, alterations counted in.</summary>
    /// <param name="frontMm">Position of the front edge, mm from T8.</param>
    /// <exception cref="GeometryException">It is known by widths only, or its stations are out of order.</exception>
    public TreeShape LaidAt(double frontMm)
    {
        var (length, opened) = (LengthMm, OpenedMm());
        return new TreeShape([.. ToItsEnds(length).Select(station => Opened(station, station.PositionMm / length, opened) with { PositionMm = frontMm + station.PositionMm })]);
    }

    /// <summary>The panel with the pad under it, as it is on that day.</summary>
    /// <param name="padMm">Thickness of the pad, mm.</param>
    public Panel PanelWith(double padMm)
    {
        var even = ZoneThickness.Even(Shape.PanelMm + padMm);
        return Changes.Where(change => IsThickness(change.Kind)).SelectMany(change => change.Zones)
            .Aggregate(new Panel(even, even), (panel, change) => panel.With(change.Side, change.Zone, change.Mm));
    }

    /// <summary>Whether a kind of change makes the panel thicker or thinner.</summary>
    public static bool IsThickness(AdjustmentKind kind) => kind is AdjustmentKind.Flocking or AdjustmentKind.Shim or AdjustmentKind.Pad or AdjustmentKind.Balance;

    // The bearing surface may run on beyond the last place at which the tree was measured: it goes on as it is there.
    private IEnumerable<TreeStation> ToItsEnds(double lengthMm)
    {
        var stations = Shape.Stations;
        if (stations.Count < 2)
            throw new GeometryException(FitFault.TooFewTreeStations);
        return
        [
            .. stations[0].PositionMm > 0 ? [stations[0] with { PositionMm = 0 }] : Array.Empty<TreeStation>(),
            .. stations,
            .. stations[^1].PositionMm < lengthMm ? [stations[^1] with { PositionMm = lengthMm }] : Array.Empty<TreeStation>(),
        ];
    }

    private Panel OpenedMm() => Changes.Where(change => change.Kind == AdjustmentKind.Tree).SelectMany(change => change.Zones)
        .Aggregate(Panel.None, (opened, change) => opened.With(change.Side, change.Zone, change.Mm));

    private static TreeStation Opened(TreeStation station, double share, Panel openedMm) => station with
    {
        Left = station.Left.Opened(openedMm.Left.At(share), station.ChannelHeightMm),
        Right = station.Right.Opened(openedMm.Right.At(share), station.ChannelHeightMm),
    };

    private static TreeWidth Altered(TreeWidth width, List<AdjustmentFact> alterations)
    {
        var zone = ZoneOf(width.Station);
        var opened = alterations.SelectMany(change => change.Zones).Where(change => change.Zone == zone).Sum(change => change.Mm);
        // How far it opened is measured at the outer edge: it does not tell the width further up.
        return opened == 0 ? width : width with { Width150Mm = width.Width150Mm + opened, Width30Mm = null };
    }
}
