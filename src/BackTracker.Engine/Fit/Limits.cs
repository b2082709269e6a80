namespace BackTracker.Engine.Fit;

/// <summary>
/// Limits of a finding in its own unit. Between the watch limits it is ok, beyond an out limit it is out. An end without a limit is
/// infinite.
/// </summary>
/// <param name="OutBelow">Out below this.</param>
/// <param name="WatchBelow">Watch from this downwards.</param>
/// <param name="WatchAbove">Watch from this upwards.</param>
/// <param name="OutAbove">Out above this.</param>
public readonly record struct Limits(double OutBelow, double WatchBelow, double WatchAbove, double OutAbove)
{
    /// <summary>Limits above only.</summary>
    public static Limits Above(double watch, double outAbove) => new(double.NegativeInfinity, double.NegativeInfinity, watch, outAbove);

    /// <summary>Limits below only.</summary>
    public static Limits Below(double watch, double outBelow) => new(outBelow, watch, double.PositiveInfinity, double.PositiveInfinity);

    /// <summary>The same distance either way.</summary>
    public static Limits Either(double watch, double outBeyond) => new(-outBeyond, -watch, watch, outBeyond);

    /// <summary>Whether a value lies beyond an out limit.</summary>
    public bool IsOut(double value) => value < OutBelow || value > OutAbove;

    /// <summary>Whether a value has reached a watch limit.</summary>
    public bool IsWatched(double value) => value <= WatchBelow || value >= WatchAbove;

    /// <summary>Whether watching begins before being out, at either end.</summary>
    public bool AreInOrder => OutBelow <= WatchBelow && WatchBelow < WatchAbove && WatchAbove <= OutAbove && !double.IsNaN(OutBelow + OutAbove);
}
