namespace BackTracker.Engine.Fit;

/// <summary>Which findings are asked for.</summary>
internal enum FitScope
{
    /// <summary>All.</summary>
    Whole,

    /// <summary>Widths and angles, which only the tree can cure: nothing is drawn for bridging and rocking.</summary>
    Width,
}

/// <summary>What a scope holds.</summary>
internal static class FitScopes
{
    /// <summary>Whether it holds a measure.</summary>
    public static bool Holds(this FitScope scope, Measure measure) => scope == FitScope.Whole || MeasureFacts.IsOfWidth(measure);
}
