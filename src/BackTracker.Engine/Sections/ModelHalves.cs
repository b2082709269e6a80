using BackTracker.Engine.Numerics;
using BackTracker.Engine.Profiles;

namespace BackTracker.Engine.Sections;

/// <summary>
/// One side of an expected section: the monotone cubic through (0, 0) and its half widths, over the root of the depth, in which a round
/// back is a straight line and a sharp one nearly so. Over the depth itself it would lie a millimetre too low between the first two points.
/// </summary>
internal sealed class CubicHalf : HalfSection
{
    private const double LeastStepMm = .5;
    private static readonly double[] FirstDepthsMm = [2, 8, 18];
    private readonly MonotoneCubic offsets;
    private readonly MonotoneCubic depths;
    private readonly double deepestMm;

    /// <param name="halfWidths">Half widths in order of depth, mm; where one does not exceed the one above it, it is set just beyond it.</param>
    /// <param name="atDepths">Their depths, growing, mm.</param>
    public CubicHalf(ReadOnlySpan<double> halfWidths, ReadOnlySpan<double> atDepths)
    {
        double[] roots = new double[halfWidths.Length + 1], reached = new double[halfWidths.Length + 1];
        for (var i = 0; i < halfWidths.Length; i++)
            (roots[i + 1], reached[i + 1]) = (Math.Sqrt(atDepths[i]), Math.Max(halfWidths[i], reached[i] + LeastStepMm));
        (offsets, deepestMm) = (new MonotoneCubic(roots, reached), atDepths[^1]);
        depths = ByOffset(atDepths);
    }

    public override double DepthAt(double offsetMm) => offsetMm <= depths.Last ? depths.At(offsetMm) : double.NaN;

    public override double OffsetAt(double depthMm) => depthMm >= 0 && depthMm <= deepestMm ? offsets.At(Math.Sqrt(depthMm)) : double.NaN;

    // The same curve asked the other way round: through enough of its points that the two differ by less than a tenth of a millimetre.
    private MonotoneCubic ByOffset(ReadOnlySpan<double> atDepths)
    {
        var through = new List<double>(2 * atDepths.Length + FirstDepthsMm.Length + 1) { 0 };
        foreach (var depth in FirstDepthsMm)
        {
            if (depth < atDepths[0])
                through.Add(depth);
        }
        for (var i = 0; i < atDepths.Length; i++)
        {
            through.Add(atDepths[i]);
            if (i + 1 < atDepths.Length)
                through.Add(.5 * (atDepths[i] + atDepths[i + 1]));
        }
        double[] knots = [.. through];
        return new MonotoneCubic([.. knots.Select(depth => offsets.At(Math.Sqrt(depth)))], knots);
    }
}

/// <summary>
/// One side of a section of which two widths are known: depth grows as a power of the offset through both. A model of a back, not a
/// back; reaches as deep as the lower of the two.
/// </summary>
internal sealed class PowerHalf : HalfSection
{
    private readonly double lowerHalfMm;
    private readonly double lowerDepthMm;
    private readonly double power;

    /// <param name="upperHalfMm">Half width at the upper depth, mm.</param>
    /// <param name="upperDepthMm">The upper depth, mm.</param>
    /// <param name="lowerHalfMm">Half width at the lower depth, mm.</param>
    /// <param name="lowerDepthMm">The lower depth, mm.</param>
    public PowerHalf(double upperHalfMm, double upperDepthMm, double lowerHalfMm, double lowerDepthMm)
    {
        (this.lowerHalfMm, this.lowerDepthMm) = (lowerHalfMm, lowerDepthMm);
        // A width that hardly grows downwards is taken as nearly upright rather than as no section at all.
        power = Math.Log(lowerDepthMm / upperDepthMm) / Math.Log(Math.Max(lowerHalfMm / upperHalfMm, 1.01));
    }

    public override double DepthAt(double offsetMm) => offsetMm <= lowerHalfMm ? lowerDepthMm * Math.Pow(offsetMm / lowerHalfMm, power) : double.NaN;

    public override double OffsetAt(double depthMm) =>
        depthMm >= 0 && depthMm <= lowerDepthMm ? lowerHalfMm * Math.Pow(depthMm / lowerDepthMm, 1 / power) : double.NaN;
}
