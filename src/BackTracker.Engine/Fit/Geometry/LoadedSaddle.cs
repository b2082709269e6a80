using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>What a part of a panel carries.</summary>
/// <param name="Share">Its share of the whole load, 0 to 1.</param>
/// <param name="MeanKPa">Mean pressure over all of its skin, touched or not, kPa.</param>
/// <param name="PeakKPa">Highest pressure of a patch, kPa: it depends on how large the patches are.</param>
public readonly record struct CarriedPart(double Share, double MeanKPa, double PeakKPa);

/// <summary>A strip of one side of a panel.</summary>
/// <param name="FromFrontMm">Where it begins behind the tree's front edge, mm.</param>
/// <param name="LateralMm">Middle of each patch from the inner edge outwards, mm, + = right.</param>
/// <param name="KPa">Pressure under each, kPa; NaN where the back is not known.</param>
public readonly record struct PressedStrip(double FromFrontMm, IReadOnlyList<double> LateralMm, IReadOnlyList<double> KPa);

/// <summary>
/// A saddle under a load: a rigid tree on a panel of springs on a still horse, moved straight down. Pressures rest on a stiffness nobody has
/// measured: they are for comparing saddles on one back, and no measurement.
/// </summary>
public sealed class LoadedSaddle
{
    private readonly LaidTree laid;
    private readonly GapField gaps;
    private readonly double[] cosines;
    private readonly double[] pressedMm;
    private readonly double stiffness;
    private readonly bool[] left;
    private readonly bool[] right;

    internal LoadedSaddle(LaidTree laid, GapField gaps, double[] cosines, double stiffnessKPaPerMm, Pose pose)
    {
        (this.laid, this.gaps, this.cosines, stiffness, Pose) = (laid, gaps, cosines, stiffnessKPaPerMm, pose);
        var patches = laid.Patches;
        // An unknown gap compares as false.
        pressedMm = [.. gaps.GapMm.Select((gap, i) => pose.DropAt(patches.BehindMiddleMm[i], patches.LateralMm[i]) - gap is var deep && deep > 0 ? deep * cosines[i] : 0)];
        (left, right) = (TouchedOn(Side.Left), TouchedOn(Side.Right));
    }

    /// <summary>How it lies.</summary>
    public Pose Pose { get; }

    /// <summary>Room over the spine at every edge of a strip, front to rear.</summary>
    public required IReadOnlyList<Clearance> Clearances { get; init; }

    /// <summary>Least room over the withers under the front arch, mm.</summary>
    public double PommelRoomMm => Clearances.Where(laid.IsUnderTheArch).Min(place => place.RoomMm);

    /// <summary>Least room over the spine behind the front arch, mm.</summary>
    public double SpineRoomMm => Clearances.Where(place => !laid.IsUnderTheArch(place)).Min(place => place.RoomMm);

    /// <summary>The panel in patches.</summary>
    public PanelPatches Patches => laid.Patches;

    /// <summary>Pressure on the skin under every patch, kPa; NaN where the back is not known.</summary>
    public IReadOnlyList<double> PressureKPa => [.. gaps.GapMm.Select((gap, patch) => double.IsNaN(gap) ? double.NaN : Pressure(patch))];

    /// <summary>Whether a side is nowhere on the skin.</summary>
    public bool OneSideLifts => TouchedStrips(Side.Left) == 0 || TouchedStrips(Side.Right) == 0;

    /// <summary>The whole load, N.</summary>
    public double ForceN => Known.Sum(Force);

    /// <summary>Mean pressure over the skin it touches, kPa.</summary>
    public double MeanKPa => Known.Where(Touches).Sum(patch => Pressure(patch) * Area(patch)) / Known.Where(Touches).Sum(Area);

    /// <summary>Skin it touches as a share of all under it, 0 to 1.</summary>
    public double TouchingShare => Known.Where(Touches).Sum(Area) / Known.Sum(Area);

    /// <summary>The most any patch of the panel is pressed together, as a share of its thickness; 0 for a bare tree. Beyond about .6 the springs are no longer straight.</summary>
    public double MostStrain => Known.Max(patch => laid.Panel.Of(Patches.Side[patch]).At(ShareOfLength(patch)) is > 0 and var thickness ? pressedMm[patch] / thickness : 0);

    /// <summary>Where the load acts: X = mm from T8, Y = lateral mm, + = right. Statics keep it under the forces whatever the shape.</summary>
    public PointMm CentreOfPressure => new(Known.Sum(patch => Force(patch) * Patches.PositionMm[patch]) / ForceN, Known.Sum(patch => Force(patch) * Patches.LateralMm[patch]) / ForceN);

    /// <summary>All of it.</summary>
    public CarriedPart Whole => PartOf(_ => true);

    private IEnumerable<int> Known => Enumerable.Range(0, pressedMm.Length).Where(patch => !double.IsNaN(gaps.GapMm[patch]));

    /// <summary>A third of the length, both sides.</summary>
    public CarriedPart Of(Zone zone) => PartOf(patch => ZoneOf(patch) == zone);

    /// <summary>A side, all of its length.</summary>
    public CarriedPart Of(Side side) => PartOf(patch => Patches.Side[patch] == side);

    /// <summary>A third of a side.</summary>
    public CarriedPart Of(Side side, Zone zone) => PartOf(patch => Patches.Side[patch] == side && ZoneOf(patch) == zone);

    /// <summary>How many strips of a side touch somewhere.</summary>
    public int TouchedStrips(Side side) => (side == Side.Left ? left : right).Count(touched => touched);

    /// <summary>The longest stretch of a side without contact between two places with contact, mm.</summary>
    public double BridgeMm(Side side)
    {
        var (run, longest, touched) = (0, 0, side == Side.Left ? left : right);
        for (var (strip, last) = (Array.IndexOf(touched, true), Array.LastIndexOf(touched, true)); strip >= 0 && strip <= last; strip++)
        {
            run = touched[strip] ? 0 : run + 1;
            longest = Math.Max(longest, run);
        }
        return longest * Patches.StripMm;
    }

    /// <summary>The patches of a side strip by strip, front to rear, for drawing.</summary>
    public IReadOnlyList<PressedStrip> StripsOf(Side side)
    {
        var pressures = PressureKPa;
        return
        [
            .. Enumerable.Range(0, pressures.Count).Where(patch => Patches.Side[patch] == side).GroupBy(StripOf)
                .Select(strip => new PressedStrip(strip.Key * Patches.StripMm, [.. strip.Select(patch => Patches.LateralMm[patch])], [.. strip.Select(patch => pressures[patch])])),
        ];
    }

    private CarriedPart PartOf(Func<int, bool> isPart)
    {
        int[] part = [.. Known.Where(isPart)];
        return part.Length == 0 ? default : new(part.Sum(Force) / ForceN, part.Sum(patch => Pressure(patch) * Area(patch)) / part.Sum(Area), part.Max(Pressure));
    }

    private bool[] TouchedOn(Side side)
    {
        var touched = new bool[Patches.Strips];
        foreach (var patch in Known.Where(patch => Patches.Side[patch] == side && Touches(patch)))
            touched[StripOf(patch)] = true;
        return touched;
    }

    private bool Touches(int patch) => pressedMm[patch] > 0;

    private double Pressure(int patch) => stiffness * pressedMm[patch];

    /// <summary>Of skin, not as seen from above.</summary>
    private double Area(int patch) => Patches.AreaMm2[patch] / cosines[patch];

    // kPa are mN/mm2. Sideways the two sides balance: what counts upwards is the area seen from above.
    private double Force(int patch) => 1e-3 * Pressure(patch) * Patches.AreaMm2[patch];

    private int StripOf(int patch) => patch / (Patches.Count / Patches.Strips);

    // The number of strips is a multiple of three.
    private Zone ZoneOf(int patch) => (Zone)(3 * StripOf(patch) / Patches.Strips);

    private double ShareOfLength(int patch) => (StripOf(patch) + .5) / Patches.Strips;
}
