using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;

namespace BackTracker.Engine.Fit;

/// <summary>What a third of a side carries, beside what it would carry under a tree that follows the back. Pressures are multiples of the mean under that tree.</summary>
/// <param name="Side">The side.</param>
/// <param name="Zone">The third.</param>
/// <param name="LoadShare">Share of the load, 0 to 1.</param>
/// <param name="ConformingLoadShare">Share under the tree that follows the back.</param>
/// <param name="Mean">Mean pressure.</param>
/// <param name="ConformingMean">Mean pressure under the tree that follows the back.</param>
/// <param name="Greatest">Highest pressure.</param>
/// <param name="ConformingGreatest">Highest pressure under the tree that follows the back.</param>
public readonly record struct CarriedRegion(
    Side Side, Zone Zone, double LoadShare, double ConformingLoadShare, double Mean, double ConformingMean, double Greatest, double ConformingGreatest);

/// <summary>
/// A saddle under its rider, beside a tree that follows the same back under the same rider: a static picture of a rigid tree on a still horse.
/// Everything is told as a multiple of the mean pressure under that other tree, because the stiffness of panel and tissue is a guess.
/// </summary>
public sealed class RiddenSaddle
{
    private readonly double meanKPa;

    internal RiddenSaddle(BeddedPanel panel, PanelFirmness firmness, IReadOnlyList<DownwardForce> forces)
    {
        var stiffness = firmness switch { PanelFirmness.Soft => 1.5, PanelFirmness.Normal => 2, _ => 3 };
        (Firmness, Own, Conforming) = (firmness, panel.Under(stiffness, forces), panel.Conforming().Under(stiffness, forces));
        meanKPa = Conforming.MeanKPa;
    }

    /// <summary>How the panel was taken to give.</summary>
    public PanelFirmness Firmness { get; }

    /// <summary>The saddle.</summary>
    public LoadedSaddle Own { get; }

    /// <summary>The tree that follows the back.</summary>
    public LoadedSaddle Conforming { get; }

    /// <summary>Highest pressure, as a multiple.</summary>
    public double Greatest => Relative(Own.Whole.PeakKPa);

    /// <summary>Highest pressure under the tree that follows the back: over 1, since steep skin takes less.</summary>
    public double ConformingGreatest => Relative(Conforming.Whole.PeakKPa);

    /// <summary>Thirds from front to rear, left before right.</summary>
    public IReadOnlyList<CarriedRegion> Regions => [.. from zone in Enum.GetValues<Zone>() from side in new[] { Side.Left, Side.Right } select RegionOf(side, zone)];

    /// <summary>A pressure as a multiple of the mean under the tree that follows the back.</summary>
    public double Relative(double kPa) => kPa / meanKPa;

    private CarriedRegion RegionOf(Side side, Zone zone)
    {
        var (own, other) = (Own.Of(side, zone), Conforming.Of(side, zone));
        return new CarriedRegion(side, zone, own.Share, other.Share, Relative(own.MeanKPa), Relative(other.MeanKPa), Relative(own.PeakKPa), Relative(other.PeakKPa));
    }
}

/// <summary>A saddle under its rider on a day, or what it would take to tell.</summary>
/// <param name="Saddles">Soft, normal and firm; none where it cannot be told.</param>
/// <param name="FrontAndRear">How it lies from front to rear, in words from pitch and angle; empty where it cannot be told.</param>
/// <param name="Missing">What would tell it.</param>
public sealed record RiddenFit(IReadOnlyList<RiddenSaddle> Saddles, string FrontAndRear, IReadOnlyList<string> Missing);
