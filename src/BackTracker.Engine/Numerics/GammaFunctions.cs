namespace BackTracker.Engine.Numerics;

/// <summary>The gamma function and what belongs to it, for positive arguments, to about 1e-14 relative.</summary>
public static class GammaFunctions
{
    // From here on the asymptotic series below, seven terms long, are exact to rounding; smaller arguments are carried up to it.
    private const double Far = 16;
    private const double HalfLogTwoPi = 0.91893853320467274178;

    // Bernoulli numbers B2, B4, ... B14.
    private static ReadOnlySpan<double> Bernoulli => [1.0 / 6, -1.0 / 30, 1.0 / 42, -1.0 / 30, 5.0 / 66, -691.0 / 2730, 7.0 / 6];

    /// <summary>Logarithm of the gamma function (Abramowitz and Stegun 1964, 6.1.40).</summary>
    /// <param name="x">Above 0.</param>
    public static double LogGamma(double x)
    {
        var below = 1.0;
        for (; x < Far; x++)
            below *= x;
        var (sum, power) = (0.0, x);
        for (var k = 1; k <= Bernoulli.Length; k++, power *= x * x)
            sum += Bernoulli[k - 1] / (2 * k * ((2 * k) - 1) * power);
        return ((x - .5) * Math.Log(x)) - x + HalfLogTwoPi + sum - Math.Log(below);
    }

    /// <summary>Derivative of <see cref="LogGamma"/> (Abramowitz and Stegun 1964, 6.3.18).</summary>
    /// <param name="x">Above 0.</param>
    public static double Digamma(double x)
    {
        var below = 0.0;
        for (; x < Far; x++)
            below += 1 / x;
        var (sum, power) = (0.0, x * x);
        for (var k = 1; k <= Bernoulli.Length; k++, power *= x * x)
            sum += Bernoulli[k - 1] / (2 * k * power);
        return Math.Log(x) - (.5 / x) - sum - below;
    }

    /// <summary>Second derivative of <see cref="LogGamma"/> (Abramowitz and Stegun 1964, 6.4.12).</summary>
    /// <param name="x">Above 0.</param>
    public static double Trigamma(double x)
    {
        var below = 0.0;
        for (; x < Far; x++)
            below += 1 / (x * x);
        var (sum, power) = (0.0, x * x * x);
        for (var k = 1; k <= Bernoulli.Length; k++, power *= x * x)
            sum += Bernoulli[k - 1] / power;
        return (1 / x) + (.5 / (x * x)) + sum + below;
    }

    /// <summary>The x whose <see cref="Trigamma"/> is a value, by halving: it lies between 1/v and 1/v + 1.</summary>
    /// <param name="value">Above 0.</param>
    public static double InverseTrigamma(double value)
    {
        var (low, high) = (1 / value, (1 / value) + 1);
        while (high - low > 1e-15 * high)
        {
            var middle = .5 * (low + high);
            if (middle <= low || middle >= high)
                break;
            (low, high) = Trigamma(middle) > value ? (middle, high) : (low, middle);
        }
        return .5 * (low + high);
    }

    /// <summary>Regularised lower incomplete gamma function P(a, x): by its series below a + 1, else by its continued fraction (Abramowitz and Stegun 1964, 6.5.29 and 6.5.31).</summary>
    /// <param name="a">Above 0.</param>
    /// <param name="x">At least 0.</param>
    public static double LowerShare(double a, double x)
    {
        if (x <= 0)
            return 0;
        var front = Math.Exp((a * Math.Log(x)) - x - LogGamma(a));
        return x < a + 1 ? front * Series(a, x) : 1 - (front * Fraction(a, x));
    }

    private static double Series(double a, double x)
    {
        var (term, sum) = (1 / a, 1 / a);
        for (var k = 1; term > 1e-17 * sum; k++)
        {
            term *= x / (a + k);
            sum += term;
        }
        return sum;
    }

    // By Lentz's method; every part is positive for x >= a + 1.
    private static double Fraction(double a, double x)
    {
        var b = x + 1 - a;
        var (c, d) = (double.MaxValue, 1 / b);
        var value = d;
        for (var k = 1; k < 10_000; k++)
        {
            var part = k * (a - k);
            b += 2;
            d = 1 / ((part * d) + b);
            c = b + (part / c);
            value *= c * d;
            if (Math.Abs((c * d) - 1) < 1e-16)
                break;
        }
        return value;
    }
}
