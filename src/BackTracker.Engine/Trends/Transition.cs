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
    // (2^(k+2) - 2)/(k+3)!, until the terms are below rounding at x = 1.
    private static ReadOnlySpan<double> ShapeSeries =>
    [
        0.3333333333333333, 0.25, 0.11666666666666667, 0.041666666666666664, 0.012301587301587301,
        0.003125, 0.0006999559082892416, 0.00014054232804232804, 2.5603254769921436e-05, 4.2713844797178134e-06,
        6.574572546794769e-07, 9.394540644540644e-08, 1.2527583625467223e-08, 1.5660435427300506e-09, 1.8424603970627936e-10,
        2.0472094573725967e-11, 2.1549737648205952e-12, 2.1549819854558418e-13, 2.052367710260443e-14, 1.865790606867772e-15,
        1.622427388301662e-16, 1.3520231459322325e-17, 1.0816186456847918e-18, 8.320143924263804e-20, 6.163069757202541e-21,
    ];

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
        var sum = 0.0;
        for (var k = ShapeSeries.Length - 1; k >= 0; k--)
            sum = Math.FusedMultiplyAdd(sum, -x, ShapeSeries[k]);
        return sum;
    }
}
