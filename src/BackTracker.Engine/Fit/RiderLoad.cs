using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit;

/// <summary>What presses a saddle down on a horse that stands still.</summary>
/// <param name="RiderAndTackKg">Rider and all tack, over 0, kg.</param>
/// <param name="GirthN">How hard the girth pulls down in all, N; 0 where it is left out.</param>
/// <param name="RightMm">How far the rider sits off the middle, mm, + = right.</param>
public readonly record struct RiderLoad(double RiderAndTackKg, double GirthN, double RightMm)
{
    /// <summary>Taken where nobody was weighed, kg: our choice. What is told is compared with another tree under the same load.</summary>
    public const double AssumedKg = 80;

    private const double NewtonPerKg = 9.81;

    /// <summary>The forces: the rider over the middle of the tree, the girth over the middle of its front third, where its straps hang (common practice, no source).</summary>
    internal IReadOnlyList<DownwardForce> On(TreeShape tree) =>
    [
        new(RiderAndTackKg * NewtonPerKg, FitSetting.For(tree).Seat with { Y = RightMm }),
        new(GirthN, new PointMm(tree.FrontMm + (tree.LengthMm / 6), 0)),
    ];
}

/// <summary>How a panel with the tissue under it gives: guesses, since no measured value was found.</summary>
public enum PanelFirmness
{
    /// <summary>1.5 kPa/mm.</summary>
    Soft,

    /// <summary>2 kPa/mm.</summary>
    Normal,

    /// <summary>3 kPa/mm.</summary>
    Firm,
}
