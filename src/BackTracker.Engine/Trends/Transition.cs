using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Trends;

/// <summary>
/// What a span of days does to level and rate when the rate dies out: dL = S dt, dS = -S/tau dt + sigma dW, here with sigma = 1.
/// Level and rate become L + <paramref name="LevelFromRate"/> S and <paramref name="RateDecay"/> S; the variances are to be multiplied by sigma^2.
/// </summary>
/// <remarks>Exact integrals of the integrated Ornstein-Uhlenbeck process (Taylor, Cumberland and Sy 1994, JASA 89:727-736).</remarks>
/// <param name="LevelFromRate">Days of today's rate that reach the level.</param>
/// <param name="RateDecay">Share of today's rate that is left.</param>
/// <param name="LevelVar">Variance added to the level, day^3.</param>
/// <param name="LevelRateCov">Covariance added between level and rate, day^2.</param>
/// <param name="RateVar">Variance added to the rate, day.</param>
public readonly record struct Transition(double LevelFromRate, double RateDecay, double LevelVar, double LevelRateCov, double RateVar)
{
    private const int SeriesTerms = 26;

    /// <summary>No time passes.</summary>
    public static Transition None => new(0, 1, 0, 0, 0);

    /// <summary>The effect of a span.</summary>
    /// <param name="days">Length of the span, days, at least 0.</param>
    /// <param name="tauDays">Memory of the rate, days; positive infinity for a rate that never dies out.</param>
    public static Transition Over(double days, double tauDays)
    {
        var x = days / tauDays;
        var mean = MeanDecay(x);
        return new Transition(
            days * mean,
            Math.Exp(-x),
            days * days * days * LevelShape(x),
            .5 * days * days * mean * mean,
            days * MeanDecay(2 * x));
    }

    /// <summary>
    /// The same span backwards: before the first observation the level is told from the rate as it is afterwards, exact for a stationary rate
    /// because that runs the same in both directions of time.
    /// </summary>
    public Transition Backwards => this with { LevelFromRate = -LevelFromRate, LevelRateCov = -LevelRateCov };

    // (1 - e^-x)/x
    private static double MeanDecay(double x) => x < 1e-8 ? 1 - .5 * x : -SpecialFunctions.ExpM1(-x) / x;

    // (2x - 3 + 4e^-x - e^-2x)/(2x^3); the closed form cancels for small x, where the power series is used instead.
    private static double LevelShape(double x)
    {
        if (x >= 1)
        {
            var e = Math.Exp(-x);
            return (2 * x - 3 + 4 * e - e * e) / (2 * x * x * x);
        }
        var (sum, power, factorial, two) = (0.0, 1.0, 6.0, 4.0);
        for (var k = 0; k < SeriesTerms; k++)
        {
            sum += power * (two - 2) / factorial;
            power *= -x;
            two *= 2;
            factorial *= k + 4;
        }
        return sum;
    }
}
