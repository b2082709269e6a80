using System.Runtime.InteropServices;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Profiles;

/// <summary>Where a drawing from left to right crosses x = 0 with least depth; the first such place where there are several.</summary>
/// <param name="DepthMm">Depth there, mm.</param>
/// <param name="Before">Index of the last corner that is not beyond it.</param>
internal readonly record struct MidlineCrossing(double DepthMm, int Before)
{
    // A corner closer than this to the crossing is the crossing.
    private const double SamePlaceMm = 1e-9;

    public static MidlineCrossing Of(List<PointMm> points)
    {
        var best = new MidlineCrossing(double.PositiveInfinity, -1);
        for (var i = 0; i < points.Count; i++)
        {
            if (IsOnMidline(points[i]) && points[i].Y < best.DepthMm)
                best = new MidlineCrossing(points[i].Y, i);
            if (i + 1 < points.Count && points[i].X * points[i + 1].X < 0 && !IsOnMidline(points[i]) && !IsOnMidline(points[i + 1]) && DepthBetween(points[i], points[i + 1]) is var depth && depth < best.DepthMm)
                best = new MidlineCrossing(depth, i);
        }
        return best;
    }

    public TracedHalf LeftOf(List<PointMm> points)
    {
        var outwards = new List<PointMm>(Before + 1);
        for (var i = Before; i >= 0; i--)
            Add(outwards, points[i], -1);
        return new TracedHalf(outwards);
    }

    public TracedHalf RightOf(List<PointMm> points)
    {
        var outwards = new List<PointMm>(points.Count - Before);
        foreach (var point in CollectionsMarshal.AsSpan(points)[(Before + 1)..])
            Add(outwards, point, 1);
        return new TracedHalf(outwards);
    }

    private void Add(List<PointMm> outwards, PointMm point, int side)
    {
        if (outwards.Count > 0 || double.Hypot(point.X, point.Y - DepthMm) > SamePlaceMm)
            outwards.Add(new PointMm(side * point.X, point.Y - DepthMm));
    }

    // A corner that was turned back onto the midline lies on it but for rounding.
    private static bool IsOnMidline(PointMm point) => Math.Abs(point.X) <= SamePlaceMm;

    private static double DepthBetween(PointMm a, PointMm b) => a.Y + ((b.Y - a.Y) * (a.X / (a.X - b.X)));
}
