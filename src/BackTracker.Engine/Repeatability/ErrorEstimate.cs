using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Repeatability;

/// <summary>
/// What is known of a standard deviation: its square is scaled inverse chi-square, so that what was known before and what repeats add have
/// the same form (Gelman et al. 2013, Bayesian Data Analysis, 2.6; from memory).
/// </summary>
/// <param name="DegreesOfFreedom">How much is known, in repeats beyond the first; above 0.</param>
/// <param name="Sd">Its scale, in the metric's unit; at least 0.</param>
public readonly record struct ErrorEstimate(double DegreesOfFreedom, double Sd)
{
    /// <summary>How much what is known of others weighs before somebody's own repeats are seen: as much as six pairs (our choice).</summary>
    public const double PriorWeight = 6;

    /// <summary>What repeats say by themselves.</summary>
    /// <param name="scatter">Their scatter, with at least one degree of freedom.</param>
    public static ErrorEstimate Of(RepeatScatter scatter) => new(scatter.DegreesOfFreedom, scatter.Sd);

    /// <summary>What is known of any metric before anything was measured: <see cref="Metric.StartingSessionSd"/>, weighing six pairs.</summary>
    public static ErrorEstimate Starting(Metric metric) => new(PriorWeight, metric.StartingSessionSd);

    /// <summary>What is known once repeats are seen: nu_n = nu_0 + nu and s_n^2 = (nu_0 s_0^2 + SS) / nu_n.</summary>
    /// <param name="scatter">Scatter of the repeats.</param>
    public ErrorEstimate After(RepeatScatter scatter)
    {
        var known = DegreesOfFreedom + scatter.DegreesOfFreedom;
        return new ErrorEstimate(known, Math.Sqrt(((DegreesOfFreedom * Sd * Sd) + scatter.SumOfSquares) / known));
    }

    /// <summary>The value below which the standard deviation lies with a probability: s sqrt(nu / chi2).</summary>
    /// <param name="probability">Strictly within 0..1.</param>
    public double Quantile(double probability) => Sd * Math.Sqrt(DegreesOfFreedom / ChiSquare.Quantile(1 - probability, DegreesOfFreedom));

    /// <summary>Low and high end of its 95 % interval, in the metric's unit.</summary>
    public (double Low, double High) Interval95 => (Quantile(.025), Quantile(.975));
}
