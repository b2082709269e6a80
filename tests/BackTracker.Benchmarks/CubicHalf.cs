using BackTracker.Engine.Numerics;
using BackTracker.Engine.Profiles;

namespace BackTracker.Benchmarks;

/// <summary>A flank as a monotone cubic through a few points from (0,0) outwards and down: what is known of a back between measurements.</summary>
internal sealed class CubicHalf(double[] offsetsMm, double[] depthsMm) : HalfSection
{
    private readonly MonotoneCubic curve = new(offsetsMm, depthsMm);

    public override double DepthAt(double offsetMm) => offsetMm >= 0 && offsetMm <= curve.Last ? curve.At(offsetMm) : double.NaN;

    public override double OffsetAt(double depthMm)
    {
        if (!(depthMm >= 0 && depthMm <= depthsMm[^1]))
            return double.NaN;
        var i = 1;
        while (depthsMm[i] < depthMm)
            i++;
        var (low, high) = (offsetsMm[i - 1], offsetsMm[i]);
        while (high - low > 1e-9)
        {
            var middle = .5 * (low + high);
            (low, high) = curve.At(middle) < depthMm ? (middle, high) : (low, middle);
        }
        return high;
    }
}
