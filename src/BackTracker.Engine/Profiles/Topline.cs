using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Profiles;

/// <summary>How far a topline sags.</summary>
/// <param name="DipMm">Greatest distance of the topline below a string laid over it, square to the string, mm, at least 0: the same however the paper was turned.</param>
/// <param name="DeepestAtMm">Where that is along the back, mm from T8 towards the tail.</param>
public readonly record struct Topline(double DipMm, double DeepestAtMm)
{
    /// <summary>Measures a drawn topline. Where the pen was set back, the line drawn first counts.</summary>
    /// <param name="trace">Points in the order drawn: x along the back, + = towards the tail; y depth, + = down; mm, finite.</param>
    /// <exception cref="ArgumentException">There are fewer than two places along the back, or a coordinate is not finite.</exception>
    public static Topline Of(IReadOnlyList<PointMm> trace)
    {
        ArgumentNullException.ThrowIfNull(trace);
        var (x, y) = Advancing(trace);
        if (x.Length < 2)
            throw new ArgumentException("A topline needs at least two places along the back.", nameof(trace));
        var strings = ConvexMinorant.Of(x, y);
        var deepest = new Topline(0, x[0]);
        for (var i = 1; i + 1 < x.Length; i++)
        {
            // Between two supports the string is straight, so that its slope beside a place it does not touch is its slope there.
            var slope = (strings[i + 1] - strings[i - 1]) / (x[i + 1] - x[i - 1]);
            var dip = (y[i] - strings[i]) / Math.Sqrt(1 + (slope * slope));
            if (dip > deepest.DipMm)
                deepest = new Topline(dip, x[i]);
        }
        return deepest;
    }

    private static (double[] X, double[] Y) Advancing(IReadOnlyList<PointMm> trace)
    {
        var forwards = trace.Count > 0 && trace[0].X > trace[^1].X ? trace.Reverse() : trace;
        List<double> x = new(trace.Count), y = new(trace.Count);
        foreach (var point in forwards)
        {
            if (!double.IsFinite(point.X) || !double.IsFinite(point.Y))
                throw new ArgumentException($"({point.X}, {point.Y}) is not a point.", nameof(trace));
            if (x.Count > 0 && point.X <= x[^1])
                continue;
            x.Add(point.X);
            y.Add(point.Y);
        }
        return ([.. x], [.. y]);
    }
}
