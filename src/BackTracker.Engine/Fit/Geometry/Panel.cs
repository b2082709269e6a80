using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>Thickness of a panel on one side by thirds of its length, mm.</summary>
/// <param name="FrontMm">Front third.</param>
/// <param name="MiddleMm">Middle third.</param>
/// <param name="RearMm">Rear third.</param>
public readonly record struct ZoneThickness(double FrontMm, double MiddleMm, double RearMm)
{
    /// <summary>The same everywhere.</summary>
    public static ZoneThickness Even(double mm) => new(mm, mm, mm);

    /// <summary>Thickness at a share of the length (0 front, 1 rear): linear between the middles of the thirds, constant beyond, mm.</summary>
    public double At(double share) => Zones.Between(share, FrontMm, MiddleMm, RearMm);

    /// <summary>With so much more in a third.</summary>
    public ZoneThickness With(Zone zone, double mm) => zone switch
    {
        Zone.Front => this with { FrontMm = FrontMm + mm },
        Zone.Middle => this with { MiddleMm = MiddleMm + mm },
        _ => this with { RearMm = RearMm + mm },
    };
}

/// <summary>The panel between tree and skin, both sides.</summary>
/// <param name="Left">Left side.</param>
/// <param name="Right">Right side.</param>
public readonly record struct Panel(ZoneThickness Left, ZoneThickness Right)
{
    /// <summary>No panel: the bare tree.</summary>
    public static Panel None => default;

    /// <summary>One of the sides.</summary>
    public ZoneThickness Of(Side side) => side == Side.Left ? Left : Right;

    /// <summary>With so much more in a third of a side.</summary>
    public Panel With(Side side, Zone zone, double mm) =>
        side == Side.Left ? this with { Left = Left.With(zone, mm) } : this with { Right = Right.With(zone, mm) };
}

/// <summary>Thirds of a saddle's length.</summary>
internal static class Zones
{
    /// <summary>A value given at the middles of the thirds, linear between them and constant beyond.</summary>
    public static double Between(double share, double front, double middle, double rear) => share switch
    {
        <= 1 / 6.0 => front,
        <= .5 => front + ((middle - front) * (share - (1 / 6.0)) * 3),
        <= 5 / 6.0 => middle + ((rear - middle) * (share - .5) * 3),
        _ => rear,
    };
}
