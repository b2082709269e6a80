namespace BackTracker.Engine.Fit;

/// <summary>State of a finding. Out when P(out) is 50 % or more, watch when it is 10 % or more or the expected value is beyond the watch limit; back to ok only under 5 %.</summary>
public enum Severity
{
    /// <summary>Something needed to judge it is missing.</summary>
    Unknown,

    /// <summary>Within tolerance. It does not mean safe.</summary>
    Ok,

    /// <summary>Keep an eye on it.</summary>
    Watch,

    /// <summary>Out of tolerance.</summary>
    Out,
}

/// <summary>
/// Limits of the width mismatch of a tree known by widths: tree width at 150 mm less back width at 150 mm, mm, + = tree wide.
/// One fitting is 2 cm across the points (Meschan, Peham, Schobesberger and Licka 2007, Vet J 173:578-584); out at one fitting when
/// wide and at seven tenths of it when narrow, watch at half of each: derived, because padding never cures a narrow saddle.
/// </summary>
/// <param name="WatchWideMm">Watch from this much too wide.</param>
/// <param name="OutWideMm">Out from this much too wide.</param>
/// <param name="WatchNarrowMm">Watch from this much too narrow (a positive number).</param>
/// <param name="OutNarrowMm">Out from this much too narrow (a positive number).</param>
public sealed record WidthTolerances(double WatchWideMm, double OutWideMm, double WatchNarrowMm, double OutNarrowMm)
{
    /// <summary>10/20 mm wide, 7/14 mm narrow.</summary>
    public static WidthTolerances Default { get; } = new(10, 20, 7, 14);

    /// <summary>Whether a mismatch (mm, + = tree wide) lies beyond an out limit.</summary>
    public bool IsOut(double mismatchMm) => mismatchMm > OutWideMm || mismatchMm < -OutNarrowMm;
}
