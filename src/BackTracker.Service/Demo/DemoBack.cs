using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;

namespace BackTracker.Service.Demo;

/// <summary>A station of the invented backs.</summary>
/// <param name="Name">Which.</param>
/// <param name="AtMm">Place, mm from T8.</param>
/// <param name="Wider">Width at 150 mm less that of T13, mm.</param>
/// <param name="Share">How much of a change at T13 it takes part in.</param>
/// <param name="Rounder">Power of the section less that of T13.</param>
internal sealed record DemoStation(string Name, double AtMm, double Wider, double Share, double Rounder);

/// <summary>
/// The true shape of an invented back on any day. Depth grows as a power of the offset; the topline sags between two places and falls
/// away beyond them. Every number is invented.
/// </summary>
/// <param name="T13">Width at T13 and 150 mm on the first day, mm.</param>
/// <param name="Power">Power of the section at T13: 1 a roof, 2 a parabola.</param>
/// <param name="Changes">What moves the width at T13.</param>
internal sealed record DemoBack(double T13, double Power, IReadOnlyList<DemoChange> Changes)
{
    private const double FirstDipMm = 12;
    private const double SagFromMm = 90;
    private const double SagToMm = 265;

    public static IReadOnlyList<DemoStation> Stations { get; } = [new("T8", 0, -34, .9, -.2), new("T13", 210, 0, 1, 0), new("T18", 420, 14, .6, .2)];

    /// <summary>What moves the dip of the topline.</summary>
    public IReadOnlyList<DemoChange> Sagging { get; init; } = [];

    /// <summary>Right half less left half at T13 and 150 mm on a day, mm.</summary>
    public DemoChange RightLarger { get; init; } = new(_ => 0);

    public double Width(DemoStation station, double depthMm, int day) =>
        (T13 + station.Wider + (station.Share * Changes.Sum(change => change.On(day)))) * Math.Pow(depthMm / 150, 1 / (Power + station.Rounder));

    /// <summary>One side of a section: -1 left, 1 right.</summary>
    public PowerSide Side(DemoStation station, int day, int sign) =>
        new(.5 * (Width(station, 150, day) + (sign * station.Share * RightLarger.On(day))), Power + station.Rounder);

    /// <summary>Depth of the spine below its highest places, mm.</summary>
    public double ToplineAt(double atMm, int day)
    {
        var (share, beyond) = ((atMm - SagFromMm) / (SagToMm - SagFromMm), Math.Max(SagFromMm - atMm, atMm - SagToMm));
        return beyond > 0 ? beyond * beyond / 4000 : 4 * share * (1 - share) * (FirstDipMm + Sagging.Sum(change => change.On(day)));
    }

    /// <summary>The whole back with both sides alike, as a saddler would have it.</summary>
    public BackShape EvenOn(int day) => new(
        [.. Stations.Select(station => (station.AtMm, Half: this.Evened(station, day))).Select(at => new BackStation(at.AtMm, at.Half, at.Half))],
        [.. Enumerable.Range(0, 53).Select(i => new PointMm(-50 + (10 * i), ToplineAt(-50 + (10 * i), day)))]);

    private PowerSide Evened(DemoStation station, int day) => new(.5 * Width(station, 150, day), Power + station.Rounder);
}

/// <summary>One side of an invented section.</summary>
/// <param name="halfMm">Half width at 150 mm.</param>
/// <param name="power">Power of depth over offset.</param>
internal sealed class PowerSide(double halfMm, double power) : HalfSection
{
    public override double DepthAt(double offsetMm) => 150 * Math.Pow(offsetMm / halfMm, power);

    public override double OffsetAt(double depthMm) => halfMm * Math.Pow(depthMm / 150, 1 / power);
}
