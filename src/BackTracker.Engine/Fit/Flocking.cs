namespace BackTracker.Engine.Fit;

/// <summary>What flocking can take up: it levels, and fills a small hollow. It never alters width, angle, channel or where the tree lies.</summary>
internal static class Flocking
{
    /// <summary>
    /// How much is out and would have to be levelled, mm: the depth of the hollow or of the bend, the lift between two thirds or panels.
    /// Infinite where flocking cannot cure it.
    /// </summary>
    /// <param name="measure">The finding.</param>
    /// <param name="value">Its value, in the unit of the measure.</param>
    /// <param name="lengthMm">Length of the bearing surface, mm.</param>
    /// <param name="betweenPanelsMm">Between the middles of the two panels, mm.</param>
    public static double NeededMm(Measure measure, double value, double lengthMm, double betweenPanelsMm) => measure switch
    {
        Measure.Bridging => value,
        // Rocking is 8/3 of the sagitta of the same bend.
        Measure.Rocking => Math.Abs(value) * 3 / 8,
        // Between the middles of the front and the rear third.
        Measure.Balance => Math.Abs(Math.Tan(double.DegreesToRadians(value))) * lengthMm * 2 / 3,
        Measure.Roll => Math.Abs(Math.Tan(double.DegreesToRadians(value))) * betweenPanelsMm,
        _ => double.PositiveInfinity,
    };

    /// <summary>Whether curing it makes left and right unequal.</summary>
    public static bool IsUnequal(FindingKey key) => key.Measure == Measure.Roll || key is { Measure: Measure.Bridging, Side: not null };
}
