namespace BackTracker.Engine.Numerics;

/// <summary>Student's t distribution.</summary>
public static class StudentT
{
    /// <summary>Probability of a value at or below t.</summary>
    /// <param name="t">Any number.</param>
    /// <param name="degreesOfFreedom">Above 0.</param>
    public static double Cdf(double t, double degreesOfFreedom)
    {
        var tail = .5 * Share(.5 * degreesOfFreedom, .5, degreesOfFreedom / (degreesOfFreedom + (t * t)));
        return t > 0 ? 1 - tail : tail;
    }

    /// <summary>The t whose <see cref="Cdf"/> is a probability, by halving from a bracket that is doubled until it holds it.</summary>
    /// <param name="probability">Strictly within 0..1.</param>
    /// <param name="degreesOfFreedom">Above 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">The probability is not within 0..1, or there are no degrees of freedom.</exception>
    public static double Quantile(double probability, double degreesOfFreedom)
    {
        if (!(probability is > 0 and < 1))
            throw new ArgumentOutOfRangeException(nameof(probability), probability, "A quantile needs a probability strictly within 0..1.");
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(degreesOfFreedom);
        if (probability < .5)
            return -Quantile(1 - probability, degreesOfFreedom);
        var (low, high) = (0.0, 1.0);
        while (Cdf(high, degreesOfFreedom) < probability)
            (low, high) = (high, 2 * high);
        while (high - low > 1e-15 * high)
        {
            var middle = .5 * (low + high);
            if (middle <= low || middle >= high)
                break;
            (low, high) = Cdf(middle, degreesOfFreedom) < probability ? (middle, high) : (low, middle);
        }
        return .5 * (low + high);
    }

    // Regularised incomplete beta function (Abramowitz and Stegun 1964, 26.5.8), from the end where its fraction runs quickly.
    private static double Share(double a, double b, double x)
    {
        if (x is <= 0 or >= 1)
            return x <= 0 ? 0 : 1;
        var front = Math.Exp(
            GammaFunctions.LogGamma(a + b) - GammaFunctions.LogGamma(a) - GammaFunctions.LogGamma(b) + (a * Math.Log(x)) + (b * Math.Log(1 - x)));
        return x < (a + 1) / (a + b + 2) ? front * Fraction(a, b, x) / a : 1 - (front * Fraction(b, a, 1 - x) / b);
    }

    private static double Fraction(double a, double b, double x)
    {
        var (c, d) = (1.0, 1 / (1 - ((a + b) * x / (a + 1))));
        var value = d;
        for (var m = 1; m < 10_000; m++)
        {
            var even = m * (b - m) * x / ((a + (2 * m) - 1) * (a + (2 * m)));
            d = 1 / (1 + (even * d));
            c = 1 + (even / c);
            value *= c * d;
            var odd = -(a + m) * (a + b + m) * x / ((a + (2 * m)) * (a + (2 * m) + 1));
            d = 1 / (1 + (odd * d));
            c = 1 + (odd / c);
            value *= c * d;
            if (Math.Abs((c * d) - 1) < 1e-16)
                break;
        }
        return value;
    }
}
