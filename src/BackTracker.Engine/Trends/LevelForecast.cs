using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Trends;

/// <summary>
/// What is known of the level with season on one day, a mixture of normals over the grid. Without any session nothing is known:
/// <see cref="IsKnown"/> is false and every number is NaN.
/// </summary>
public sealed class LevelForecast
{
    private readonly NormalMixture? mixture;

    internal LevelForecast(NormalMixture? mixture) => this.mixture = mixture;

    /// <summary>False for a series without sessions.</summary>
    public bool IsKnown => mixture is not null;

    /// <summary>Expected level, in the metric's unit.</summary>
    public double Mean => mixture?.Mean ?? double.NaN;

    /// <summary>Standard deviation of the level, in the metric's unit.</summary>
    public double Sd => mixture?.Sd ?? double.NaN;

    /// <summary>The forecast with an independent normal error added, for example that of what the level is compared with.</summary>
    /// <param name="errorSd">Standard deviation of the error, in the metric's unit, at least 0.</param>
    public LevelForecast Widened(double errorSd) => new(mixture?.Widened(errorSd));

    /// <summary>Probability that the level is below x.</summary>
    public double ProbabilityBelow(double x) => mixture?.Cdf(x) ?? double.NaN;

    /// <summary>Probability that the level is above x.</summary>
    public double ProbabilityAbove(double x) => mixture?.UpperTail(x) ?? double.NaN;

    /// <summary>The level that is not exceeded with a probability strictly within 0..1.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The probability is not strictly within 0..1.</exception>
    public double Quantile(double probability)
    {
        if (!(probability is > 0 and < 1))
            throw new ArgumentOutOfRangeException(nameof(probability), probability, "A quantile needs a probability strictly within 0..1.");
        return mixture?.Quantile(probability) ?? double.NaN;
    }
}
