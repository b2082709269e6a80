using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;

namespace BackTracker.Engine.Advice;

/// <summary>A pairing as it would be.</summary>
public static class SupposedChanges
{
    /// <summary>
    /// The pairing after changes that were made on a day. What changes on the day a tree was measured counts as measured with it, so that
    /// trees are taken as measured before.
    /// </summary>
    /// <param name="pairing">The pairing.</param>
    /// <param name="on">The day.</param>
    /// <param name="changes">What was changed, and where.</param>
    public static PairingFact Changed(this PairingFact pairing, DateOnly on, params IEnumerable<(AdjustmentKind Kind, IReadOnlyList<ZoneChange> Zones)> changes)
    {
        ArgumentNullException.ThrowIfNull(pairing);
        return pairing with
        {
            From = DayOrder.Earlier(pairing.From, on),
            TreeShapes = [.. pairing.TreeShapes.Select(shape => shape.From < on ? shape : shape with { From = on.AddDays(-1) })],
            Adjustments = [.. pairing.Adjustments, .. changes.Select((change, i) => new AdjustmentFact($"supposed-{i}", on, change.Kind, change.Zones))],
            LastSeverities = new Dictionary<string, Severity>(),
        };
    }
}
