using System.Numerics;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>Three patches a saddle stands on, its load between them.</summary>
/// <param name="A">First patch.</param>
/// <param name="B">Second patch.</param>
/// <param name="C">Third patch.</param>
internal readonly record struct Tripod(int A, int B, int C)
{
    private const int MostSteps = 200;
    private const double EnteredMm = 1e-9;
    private const double LeastShare = 1e-6;

    /// <summary>
    /// The three patches it rests on, found by stepping from leg to leg: the patch that enters the skin deepest becomes a leg in place of
    /// the one whose share of the load runs out first, and every step lifts the load. This is the dual simplex method (Lemke 1954, Naval
    /// Res Logist Q 1:36-47; from memory).
    /// </summary>
    /// <returns>The legs; null where two of them, or one, carry all the load, so that there may be other poses as low.</returns>
    public Tripod? Settle(GapField field, PointMm load)
    {
        var legs = this;
        for (var step = 0; step < MostSteps; step++)
        {
            var pose = legs.Through(field);
            var shares = legs.SharesOf(load, field.Patches);
            if (Deepest(field, pose) is not { } entered)
                return Math.Min(shares.A, Math.Min(shares.B, shares.C)) > LeastShare ? legs : null;
            legs = legs.Step(entered, shares, field.Patches);
        }
        return null;
    }

    /// <summary>How a saddle lies whose legs just touch.</summary>
    public Pose Through(GapField field)
    {
        var patches = field.Patches;
        double x = patches.PositionMm[A], y = patches.LateralMm[A], gap = field.GapMm[A];
        var (bx, by, bGap) = (patches.PositionMm[B] - x, patches.LateralMm[B] - y, field.GapMm[B] - gap);
        var (cx, cy, cGap) = (patches.PositionMm[C] - x, patches.LateralMm[C] - y, field.GapMm[C] - gap);
        var twice = (bx * cy) - (cx * by);
        var (pitch, roll) = (((bGap * cy) - (cGap * by)) / twice, ((bx * cGap) - (cx * bGap)) / twice);
        return new Pose(gap - (pitch * (x - patches.MidMm)) - (roll * y), pitch, roll);
    }

    /// <summary>Which share of a load at a place each leg carries: its barycentric coordinates, of sum 1; negative where it would have to be held down.</summary>
    private Triple SharesOf(PointMm place, PanelPatches patches)
    {
        var (bx, by) = (patches.PositionMm[B] - patches.PositionMm[A], patches.LateralMm[B] - patches.LateralMm[A]);
        var (cx, cy) = (patches.PositionMm[C] - patches.PositionMm[A], patches.LateralMm[C] - patches.LateralMm[A]);
        var (px, py) = (place.X - patches.PositionMm[A], place.Y - patches.LateralMm[A]);
        var twice = (bx * cy) - (cx * by);
        var (b, c) = (((px * cy) - (cx * py)) / twice, ((bx * py) - (px * by)) / twice);
        return new Triple(1 - b - c, b, c);
    }

    private static int? Deepest(GapField field, Pose pose)
    {
        var (gaps, along, across) = (field.GapMm, field.Patches.BehindMiddleMm, field.Patches.LateralMm);
        var (heave, pitch, roll) = (new Vector<double>(pose.HeaveMm), new Vector<double>(pose.PitchSlope), new Vector<double>(pose.RollSlope));
        var (leasts, deepests, patch) = (new Vector<double>(-EnteredMm), new Vector<double>(-1), 0);
        for (; patch <= gaps.Length - Vector<double>.Count; patch += Vector<double>.Count)
        {
            var room = new Vector<double>(gaps, patch) - (heave + (pitch * new Vector<double>(along, patch)) + (roll * new Vector<double>(across, patch)));
            // An unknown gap compares as false.
            var deeper = Vector.LessThan(room, leasts);
            leasts = Vector.ConditionalSelect(deeper, room, leasts);
            deepests = Vector.ConditionalSelect(deeper, new Vector<double>(patch) + Vector<double>.Indices, deepests);
        }
        var (least, deepest) = (-EnteredMm, -1);
        for (var lane = 0; lane < Vector<double>.Count; lane++)
            (least, deepest) = leasts[lane] < least ? (leasts[lane], (int)deepests[lane]) : (least, deepest);
        for (; patch < gaps.Length; patch++)
        {
            var room = gaps[patch] - pose.DropAt(along[patch], across[patch]);
            (least, deepest) = room < least ? (room, patch) : (least, deepest);
        }
        return deepest < 0 ? null : deepest;
    }

    private Tripod Step(int entered, Triple shares, PanelPatches patches)
    {
        var taken = SharesOf(new PointMm(patches.PositionMm[entered], patches.LateralMm[entered]), patches);
        var (a, b, c) = (RunsOutAt(shares.A, taken.A), RunsOutAt(shares.B, taken.B), RunsOutAt(shares.C, taken.C));
        if (a <= b && a <= c)
            return this with { A = entered };
        return b <= c ? this with { B = entered } : this with { C = entered };
    }

    // How much of the load the new leg carries when it has taken all of this one's.
    private static double RunsOutAt(double share, double taken) => taken > 1e-12 ? share / taken : double.PositiveInfinity;
}
