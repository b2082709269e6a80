namespace BackTracker.Service.Pictures;

/// <summary>What a picture of a saddle under its rider shows; plain values. Pressures are multiples of the mean under a tree that follows the back.</summary>
/// <param name="HorseName">The horse.</param>
/// <param name="SaddleLabel">The saddle.</param>
/// <param name="On">The day it is about.</param>
/// <param name="Load">Who sits in it, in words.</param>
/// <param name="Own">The saddle.</param>
/// <param name="Conforming">The tree that follows the back.</param>
internal sealed record ContactDrawing(string HorseName, string SaddleLabel, DateOnly On, string Load, DrawnPlan Own, DrawnPlan Conforming)
{
    public IEnumerable<DrawnPlan> Plans => [Own, Conforming];
}

/// <summary>A saddle from above.</summary>
/// <param name="Name">Which.</param>
/// <param name="LengthMm">Its length, mm.</param>
/// <param name="RiderRightMm">Where the rider sits over the middle of its length, mm, + = right.</param>
/// <param name="Sides">Left and right panel.</param>
/// <param name="Words">What it shows, in words.</param>
internal sealed record DrawnPlan(string Name, double LengthMm, double RiderRightMm, IReadOnlyList<DrawnPanel> Sides, string Words);

/// <summary>One side of a panel, strip by strip from front to rear.</summary>
/// <param name="StripMm">Length of a strip, mm.</param>
/// <param name="Strips">Middle of each patch from the inner edge outwards, mm, + = right, and how hard it presses; NaN where the back is not known.</param>
internal sealed record DrawnPanel(double StripMm, IReadOnlyList<IReadOnlyList<(double LateralMm, double Pressure)>> Strips)
{
    /// <summary>Where a strip begins and ends, half a patch beyond the middles of its first and last.</summary>
    public static (double InnerMm, double OuterMm) EdgesOf(IReadOnlyList<(double LateralMm, double Pressure)> strip) =>
        (strip[0].LateralMm - (.5 * (strip[1].LateralMm - strip[0].LateralMm)), strip[^1].LateralMm + (.5 * (strip[^1].LateralMm - strip[^2].LateralMm)));
}
