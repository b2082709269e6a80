namespace BackTracker.Engine.Measures;

/// <summary>With what a back was measured.</summary>
public enum MeasuringMethod
{
    /// <summary>A curve that keeps its form, laid across the back and drawn on paper.</summary>
    FlexibleCurve,

    /// <summary>A gauge of hinged arms.</summary>
    ArmGauge,

    /// <summary>A calliper.</summary>
    Calliper,

    /// <summary>A scan of the surface.</summary>
    SurfaceScan,

    /// <summary>A tape.</summary>
    Tape,

    /// <summary>Anything else.</summary>
    Other,
}
