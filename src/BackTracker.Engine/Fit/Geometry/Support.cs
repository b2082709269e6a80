using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>What carries a saddle, seen from above: the convex hull of the patches.</summary>
internal sealed class Support
{
    private readonly PointMm[] hull;

    private Support(PointMm[] hull) => this.hull = hull;

    /// <summary>The support of some patches.</summary>
    /// <exception cref="GeometryException">They lie in one line.</exception>
    public static Support Of(PanelPatches patches, ReadOnlySpan<int> which)
    {
        var points = new PointMm[which.Length];
        for (var i = 0; i < points.Length; i++)
            points[i] = new PointMm(patches.PositionMm[which[i]], patches.LateralMm[which[i]]);
        Array.Sort(points, (a, b) => a.X != b.X ? a.X.CompareTo(b.X) : a.Y.CompareTo(b.Y));
        PointMm[] hull = [.. Chain(points), .. Chain([.. points.Reverse()])];
        return hull.Length >= 3 ? new Support(hull) : throw new GeometryException(FitFault.SupportDegenerate);
    }

    /// <summary>How far inside a place lies, mm; negative outside.</summary>
    public double DepthInside(PointMm place)
    {
        var least = double.PositiveInfinity;
        for (var i = 0; i < hull.Length; i++)
        {
            var (a, b) = (hull[i], hull[(i + 1) % hull.Length]);
            least = Math.Min(least, Turn(a, b, place) / double.Hypot(b.X - a.X, b.Y - a.Y));
        }
        return least;
    }

    /// <summary>One half of the hull, its last point left to the other half.</summary>
    private static List<PointMm> Chain(PointMm[] inOrder)
    {
        var chain = new List<PointMm>();
        foreach (var point in inOrder)
        {
            while (chain.Count >= 2 && Turn(chain[^2], chain[^1], point) <= 0)
                chain.RemoveAt(chain.Count - 1);
            chain.Add(point);
        }
        chain.RemoveAt(chain.Count - 1);
        return chain;
    }

    private static double Turn(PointMm a, PointMm b, PointMm c) => ((b.X - a.X) * (c.Y - a.Y)) - ((b.Y - a.Y) * (c.X - a.X));
}
