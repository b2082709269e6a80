namespace BackTracker.Engine.Numerics;

/// <summary>The chi-square distribution.</summary>
public static class ChiSquare
{
    /// <summary>Probability of a value at or below x.</summary>
    /// <param name="x">At least 0.</param>
    /// <param name="degreesOfFreedom">Above 0.</param>
    public static double Cdf(double x, double degreesOfFreedom) => GammaFunctions.LowerShare(.5 * degreesOfFreedom, .5 * x);

    /// <summary>The x whose <see cref="Cdf"/> is a probability, by Newton's method in the logarithm of x inside a shrinking bracket.</summary>
    /// <param name="probability">Strictly within 0..1.</param>
    /// <param name="degreesOfFreedom">Above 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">The probability is not within 0..1, or there are no degrees of freedom.</exception>
    public static double Quantile(double probability, double degreesOfFreedom)
    {
        if (!(probability is > 0 and < 1))
            throw new ArgumentOutOfRangeException(nameof(probability), probability, "A quantile needs a probability strictly within 0..1.");
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(degreesOfFreedom);
        var half = .5 * degreesOfFreedom;
        var (low, high, at) = (-700.0, Math.Log(degreesOfFreedom + 1000), Math.Log(half));
        for (var step = 0; step < 200; step++)
        {
            var x = Math.Exp(at);
            var excess = GammaFunctions.LowerShare(half, x) - probability;
            (low, high) = excess < 0 ? (at, high) : (low, at);
            var newton = at - (excess / Math.Exp((half * at) - x - GammaFunctions.LogGamma(half)));
            var next = newton > low && newton < high ? newton : .5 * (low + high);
            if (Math.Abs(next - at) < 1e-15 * Math.Max(1, Math.Abs(at)))
                break;
            at = next;
        }
        return 2 * Math.Exp(at);
    }
}
