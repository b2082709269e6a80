using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>What carries a saddle, seen from above: the convex hull of the patches under which the back is known.</summary>
internal sealed class Support
{
    private readonly Corner[] hull;

    private Support(Corner[] hull) => this.hull = hull;

    private readonly record struct Corner(int Patch, PointMm At);

    /// <summary>The support of some patches.</summary>
    /// <param name="patches">All patches.</param>
    /// <param name="gapMm">Gap under each; NaN leaves it out.</param>
    /// <exception cref="GeometryException">They lie in one line.</exception>
    public static Support Of(PanelPatches patches, ReadOnlySpan<double> gapMm)
    {
        var ends = StripEnds(patches, gapMm);
        var there = Chain(ends);
        ends.Reverse();
        Corner[] hull = [.. there, .. Chain(ends)];
        return hull.Length >= 3 ? new Support(hull) : throw new GeometryException(FitFault.SupportDegenerate);
    }

    /// <summary>How far inside a place lies, mm; negative outside.</summary>
    public double DepthInside(PointMm place)
    {
        var least = double.PositiveInfinity;
        for (var i = 0; i < hull.Length; i++)
        {
            var (a, b) = (hull[i].At, hull[(i + 1) % hull.Length].At);
            least = Math.Min(least, Turn(a, b, place) / double.Hypot(b.X - a.X, b.Y - a.Y));
        }
        return least;
    }

    /// <summary>Three patches with a place between them: the one triangle it lies in of those that spread from a corner of the hull.</summary>
    /// <param name="place">A place inside.</param>
    public Tripod Around(PointMm place)
    {
        var i = 2;
        while (i < hull.Length - 1 && Turn(hull[0].At, hull[i].At, place) > 0)
            i++;
        return new Tripod(hull[0].Patch, hull[i - 1].Patch, hull[i].Patch);
    }

    /// <summary>The leftmost and rightmost patch of every strip: from front to rear, left before right.</summary>
    private static List<Corner> StripEnds(PanelPatches patches, ReadOnlySpan<double> gapMm)
    {
        var (ends, inStrip) = (new List<Corner>(2 * patches.Strips), patches.Count / patches.Strips);
        for (var start = 0; start < patches.Count; start += inStrip)
        {
            var (left, right) = (-1, -1);
            for (var i = start; i < start + inStrip; i++)
            {
                if (double.IsNaN(gapMm[i]))
                    continue;
                left = left < 0 || patches.LateralMm[i] < patches.LateralMm[left] ? i : left;
                right = right < 0 || patches.LateralMm[i] > patches.LateralMm[right] ? i : right;
            }
            if (left >= 0)
                ends.AddRange([At(left), At(right)]);
        }
        return ends;

        Corner At(int patch) => new(patch, new PointMm(patches.PositionMm[patch], patches.LateralMm[patch]));
    }

    /// <summary>One half of the hull, its last point left to the other half.</summary>
    private static List<Corner> Chain(List<Corner> inOrder)
    {
        var chain = new List<Corner>();
        foreach (var corner in inOrder)
        {
            while (chain.Count >= 2 && Turn(chain[^2].At, chain[^1].At, corner.At) <= 0)
                chain.RemoveAt(chain.Count - 1);
            chain.Add(corner);
        }
        chain.RemoveAt(chain.Count - 1);
        return chain;
    }

    private static double Turn(PointMm a, PointMm b, PointMm c) => ((b.X - a.X) * (c.Y - a.Y)) - ((b.Y - a.Y) * (c.X - a.X));
}
