using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Fit.Geometry;

/// <summary>
/// Rests a rigid saddle on springs: the pose that minimises 1/2 sum w max(0, a.q - g)^2 - F.q with a = (1, X - middle, x), a convex
/// problem in three unknowns, by Newton steps with exact line search. Plain active-set Newton cycles or goes singular on rough gaps;
/// with the exact line search none of 4,000 hard cases failed. For one thread; buffers are used again.
/// </summary>
internal sealed class ContactSolver
{
    private const int MostSteps = 60;
    private const double LateralScaleMm = 100;
    private const double Rounding = 2.220446049250313e-16;
    private readonly int count;
    private readonly double[] along;
    private readonly double[] across;
    private readonly double[] gap;
    private readonly double[] weight;
    private readonly double[] excess;
    private readonly double[] speed;
    private readonly double[] kinkAt;
    private readonly int[] kink;
    private readonly double alongScaleMm;
    private readonly double residualScale;
    private readonly double leastStiffness;

    /// <summary>Springs under every known patch.</summary>
    /// <param name="field">Gaps.</param>
    /// <param name="springNPerMm">Of every patch: N a mm of approach.</param>
    public ContactSolver(GapField field, ReadOnlySpan<double> springNPerMm)
    {
        count = field.Known;
        (along, across, gap, weight) = (new double[count], new double[count], [.. field.GapMm.Where(gap => !double.IsNaN(gap))], new double[count]);
        (excess, speed, kinkAt, kink) = (new double[count], new double[count], new double[count], new int[count]);
        alongScaleMm = .5 * field.Patches.LengthMm;
        var (total, widest, i) = (0.0, 0.0, 0);
        for (var patch = 0; patch < field.GapMm.Length; patch++)
        {
            if (double.IsNaN(field.GapMm[patch]))
                continue;
            along[i] = (field.Patches.PositionMm[patch] - field.Patches.MidMm) / alongScaleMm;
            across[i] = field.Patches.LateralMm[patch] / LateralScaleMm;
            weight[i] = springNPerMm[patch];
            total += weight[i];
            widest = Math.Max(widest, Math.Abs(gap[i++]));
        }
        residualScale = 64 * Rounding * total * widest;
        leastStiffness = 1e-10 * Hessian(everywhere: true).Trace;
    }

    /// <summary>The pose under a load.</summary>
    /// <param name="forceN">Downward force, over 0, N.</param>
    /// <param name="behindMiddleMm">Where it acts, behind the middle of the tree, mm.</param>
    /// <param name="lateralMm">Where it acts, + = right, mm.</param>
    /// <exception cref="GeometryException">It was not found.</exception>
    public Pose Solve(double forceN, double behindMiddleMm, double lateralMm)
    {
        var load = new Triple(forceN, forceN * behindMiddleMm / alongScaleMm, forceN * lateralMm / LateralScaleMm);
        // From every patch carrying.
        var pose = Hessian(everywhere: true).Solve(load + WeightedGaps());
        var tolerance = Math.Max(1e-13, residualScale / forceN);
        for (var step = 0; step < MostSteps; step++)
        {
            var gradient = Gradient(pose, load);
            if (gradient.Largest / forceN <= tolerance)
                return new Pose(pose.A, pose.B / alongScaleMm, pose.C / LateralScaleMm);
            var direction = Hessian(everywhere: false).Lifted(leastStiffness).Solve(-gradient);
            pose += ExactStep(direction, load) * direction;
        }
        throw new GeometryException(FitFault.NotConverged);
    }

    private Triple WeightedGaps()
    {
        var sum = default(Triple);
        for (var i = 0; i < count; i++)
            sum += weight[i] * gap[i] * new Triple(1, along[i], across[i]);
        return sum;
    }

    private Triple Gradient(Triple pose, Triple load)
    {
        double a = 0, b = 0, c = 0;
        for (var i = 0; i < count; i++)
        {
            var d = pose.A + (pose.B * along[i]) + (pose.C * across[i]) - gap[i];
            excess[i] = d;
            if (d <= 0)
                continue;
            var force = weight[i] * d;
            (a, b, c) = (a + force, b + (force * along[i]), c + (force * across[i]));
        }
        return new Triple(a - load.A, b - load.B, c - load.C);
    }

    private Symmetric3 Hessian(bool everywhere)
    {
        double aa = 0, ab = 0, ac = 0, bb = 0, bc = 0, cc = 0;
        for (var i = 0; i < count; i++)
        {
            if (!everywhere && excess[i] <= 0)
                continue;
            var (w, x, y) = (weight[i], along[i], across[i]);
            (aa, ab, ac) = (aa + w, ab + (w * x), ac + (w * y));
            (bb, bc, cc) = (bb + (w * x * x), bc + (w * x * y), cc + (w * y * y));
        }
        return new Symmetric3(aa, ab, ac, bb, bc, cc);
    }

    /// <summary>The zero of the piecewise linear, rising derivative of the energy along a direction.</summary>
    private double ExactStep(Triple direction, Triple load)
    {
        var (slope, value, kinks) = (0.0, -direction.Dot(load), 0);
        for (var i = 0; i < count; i++)
        {
            var (v, d) = (direction.A + (direction.B * along[i]) + (direction.C * across[i]), excess[i]);
            speed[i] = v;
            if (d > 0)
                value += weight[i] * d * v;
            if (d > 0 || (d == 0 && v > 0))
                slope += weight[i] * v * v;
            var at = -d / v;
            if (double.IsFinite(at) && at > 0)
                (kinkAt[kinks], kink[kinks++]) = (at, i);
        }
        return value >= 0 ? 1 : Root(value, slope, kinks);
    }

    private double Root(double value, double slope, int kinks)
    {
        Array.Sort(kinkAt, kink, 0, kinks);
        var t = 0.0;
        for (var k = 0; k < kinks; k++)
        {
            var next = value + (slope * (kinkAt[k] - t));
            if (next >= 0 && slope > 0)
                return t - (value / slope);
            (value, t) = (next, kinkAt[k]);
            var (v, i) = (speed[kink[k]], kink[k]);
            slope += weight[i] * v * v * (v > 0 ? 1 : -1);
        }
        return slope > 0 ? t - (value / slope) : Math.Max(t, 1);
    }
}
