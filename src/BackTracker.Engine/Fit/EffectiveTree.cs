using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit;

/// <summary>The tree as it is on a day: the latest shape that was measured, and what was altered on the tree since.</summary>
/// <param name="ShapeId">Id of the shape.</param>
/// <param name="Since">Day of the latest measurement or alteration that made it so.</param>
/// <param name="Widths">Widths by station from front to rear, alterations counted in.</param>
public sealed record EffectiveTree(string ShapeId, DateOnly Since, IReadOnlyList<TreeWidth> Widths)
{
    /// <summary>
    /// The tree of a pairing on <paramref name="day"/>; null where no shape was measured by then. An alteration on the day of the shape
    /// counts as measured with it. Flocking, shims and pads never change the width of a tree: padding never cures a narrow saddle.
    /// </summary>
    public static EffectiveTree? On(PairingFact pairing, DateOnly day)
    {
        var shape = pairing.TreeShapes
            .Where(shape => shape.From <= day)
            .OrderBy(shape => shape.From)
            .ThenBy(shape => shape.Id, StringComparer.Ordinal)
            .LastOrDefault();
        if (shape is null)
            return null;
        AdjustmentFact[] alterations =
            [.. pairing.Adjustments.Where(change => change.Kind == AdjustmentKind.Tree && change.On > shape.From && change.On <= day)];
        return new EffectiveTree(
            shape.Id,
            alterations.Select(change => change.On).Append(shape.From).Max(),
            [.. shape.Widths.OrderBy(width => width.Station).Select(width => Altered(width, alterations))]);
    }

    /// <summary>Third of the panel over a station: front T5 to T10, middle T11 to T15, rear T16 to T18.</summary>
    public static Zone ZoneOf(Station station) => station.Vertebra switch
    {
        <= 10 => Zone.Front,
        <= 15 => Zone.Middle,
        _ => Zone.Rear,
    };

    private static TreeWidth Altered(TreeWidth width, AdjustmentFact[] alterations)
    {
        var zone = ZoneOf(width.Station);
        var opened = alterations.SelectMany(change => change.Zones).Where(change => change.Zone == zone).Sum(change => change.Mm);
        return width with { Width150Mm = width.Width150Mm + opened };
    }
}
