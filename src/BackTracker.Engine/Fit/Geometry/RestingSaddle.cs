using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>
/// A saddle laid on a back without a rider: it sinks until its load point is as low as it can go without the panel entering the skin.
/// A linear programme in three unknowns. Where two contacts carry all the load and it may tilt about them, it is taken as the stiff
/// limit of the contact problem (1 N on 1e6 kPa/mm), which lies within 0.002 mm of the lowest and in the middle of its ways.
/// </summary>
public sealed class RestingSaddle
{
    private const double ForceN = 1;
    private const double StiffnessNPerMm3 = 1000; // 1e6 kPa/mm.
    private const double LeastMarginMm = 1;
    private readonly GapField field;
    private readonly Support support;
    private Tripod? onFront;
    private Tripod? onRear;

    /// <summary>A saddle over a back.</summary>
    /// <param name="field">Gaps; where they are changed later, the patches over which the back is known stay.</param>
    /// <exception cref="GeometryException">The patches over which the back is known lie in one line.</exception>
    public RestingSaddle(GapField field)
    {
        ArgumentNullException.ThrowIfNull(field);
        this.field = field;
        support = field.Known == field.Patches.Count ? field.Patches.WholeSupport : Support.Of(field.Patches, field.GapMm);
    }

    /// <summary>How it lies with its load at a place.</summary>
    /// <param name="load">X = mm from T8, Y = lateral mm, + = right.</param>
    /// <exception cref="GeometryException">The load lies outside what carries it, or less than 1 mm inside.</exception>
    public Pose Under(PointMm load)
    {
        Tripod? legs = null;
        return Under(load, ref legs);
    }

    /// <summary>How much more the pitch slopes with the load at two thirds of the length than at one third.</summary>
    /// <param name="lateralMm">Where the load acts across, mm; + = right.</param>
    /// <exception cref="GeometryException">The load lies outside what carries it, or less than 1 mm inside.</exception>
    public double RockingSlope(double lateralMm)
    {
        var (middle, sixth) = (field.Patches.MidMm, field.Patches.LengthMm / 6);
        return Under(new PointMm(middle + sixth, lateralMm), ref onRear).PitchSlope - Under(new PointMm(middle - sixth, lateralMm), ref onFront).PitchSlope;
    }

    // Any three patches with the load between them will do to begin with; those it stood on before are near.
    private Pose Under(PointMm load, ref Tripod? legs)
    {
        if (legs is null && support.DepthInside(load) < LeastMarginMm)
            throw new GeometryException(FitFault.LoadOutsideSupport);
        legs = (legs ?? support.Around(load)).Settle(field, load);
        return legs?.Through(field) ?? OnSprings(load);
    }

    private Pose OnSprings(PointMm load) =>
        new ContactSolver(field, [.. field.Patches.AreaMm2.Select(area => StiffnessNPerMm3 * area)]).Solve(ForceN, load.X - field.Patches.MidMm, load.Y);
}

/// <summary>Whether a saddle lies in one way only.</summary>
public enum PoseKind
{
    /// <summary>It touches at three places that do not lie in one line.</summary>
    Unique,

    /// <summary>It could tilt about what it touches without its load sinking; the middle of its ways is taken.</summary>
    FreeToTilt,
}

/// <summary>Gaps between panel and skin of a saddle at rest.</summary>
/// <param name="LeastMm">Smallest, mm; 0 but for rounding.</param>
/// <param name="MeanMm">Mean by area, mm.</param>
/// <param name="MostMm">Largest, mm.</param>
/// <param name="Pose">Whether it lies in one way only.</param>
public readonly record struct RestGaps(double LeastMm, double MeanMm, double MostMm, PoseKind Pose)
{
    private const double TouchingMm = .01;

    /// <summary>What a saddle leaves between panel and skin.</summary>
    internal static RestGaps Of(GapField field, Pose pose)
    {
        var patches = field.Patches;
        var (least, most, sum, area) = (double.PositiveInfinity, double.NegativeInfinity, 0.0, 0.0);
        var touching = default(Symmetric3);
        for (var patch = 0; patch < field.GapMm.Length; patch++)
        {
            if (double.IsNaN(field.GapMm[patch]))
                continue;
            var (along, across) = (patches.BehindMiddleMm[patch], patches.LateralMm[patch]);
            var gap = field.GapMm[patch] - pose.DropAt(along, across);
            (least, most) = (Math.Min(least, gap), Math.Max(most, gap));
            (sum, area) = (sum + (gap * patches.AreaMm2[patch]), area + patches.AreaMm2[patch]);
            if (gap < TouchingMm)
                touching = touching.Plus(1, along / patches.LengthMm, across / patches.LengthMm);
        }
        return new RestGaps(least, sum / area, most, touching.Rank(1e-9) == 3 ? PoseKind.Unique : PoseKind.FreeToTilt);
    }
}
