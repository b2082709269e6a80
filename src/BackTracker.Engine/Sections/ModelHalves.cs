using BackTracker.Engine.Numerics;
using BackTracker.Engine.Profiles;

namespace BackTracker.Engine.Sections;

/// <summary>One side of an expected section: the monotone cubic through (0, 0) and its half widths, depth over offset.</summary>
internal sealed class CubicHalf : HalfSection
{
    private const double LeastStepMm = .5;
    private readonly double[] offsets;
    private readonly double[] depths;
    private readonly MonotoneCubic curve;

    /// <param name="halfWidths">Half widths in order of depth, mm; where one does not exceed the one above it, it is set just beyond it.</param>
    /// <param name="atDepths">Their depths, growing, mm.</param>
    public CubicHalf(ReadOnlySpan<double> halfWidths, ReadOnlySpan<double> atDepths)
    {
        (offsets, depths) = (new double[halfWidths.Length + 1], [0, .. atDepths]);
        for (var i = 0; i < halfWidths.Length; i++)
            offsets[i + 1] = Math.Max(halfWidths[i], offsets[i] + LeastStepMm);
        curve = new MonotoneCubic(offsets, depths);
    }

    public override double DepthAt(double offsetMm) => offsetMm <= offsets[^1] ? curve.At(offsetMm) : double.NaN;

    public override double OffsetAt(double depthMm)
    {
        if (depthMm < 0 || depthMm > depths[^1])
            return double.NaN;
        var i = 1;
        while (depths[i] < depthMm)
            i++;
        return Bisect(depthMm, offsets[i - 1], offsets[i]);
    }

    // The curve rises within the interval, so that the interval can be halved until nothing is left of it.
    private double Bisect(double depthMm, double low, double high)
    {
        for (var step = 0; step < 48 && high - low > 1e-9; step++)
        {
            var middle = .5 * (low + high);
            if (curve.At(middle) < depthMm)
                low = middle;
            else
                high = middle;
        }
        return .5 * (low + high);
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
