namespace BackTracker.Engine.Numerics;

/// <summary>A weighted mixture of normal distributions; a standard deviation of 0 is a point mass.</summary>
public sealed class NormalMixture
{
    private readonly double[] weights;
    private readonly double[] means;
    private readonly double[] sds;

    /// <summary>Takes weights that sum to 1 with their means and standard deviations.</summary>
    /// <exception cref="ArgumentException">The lengths differ or there is no component.</exception>
    public NormalMixture(double[] weights, double[] means, double[] sds)
    {
        ArgumentNullException.ThrowIfNull(weights);
        ArgumentNullException.ThrowIfNull(means);
        ArgumentNullException.ThrowIfNull(sds);
        if (weights.Length == 0 || weights.Length != means.Length || weights.Length != sds.Length)
            throw new ArgumentException("A mixture needs as many weights as means and standard deviations, and at least one.", nameof(weights));
        (this.weights, this.means, this.sds) = (weights, means, sds);
        Mean = Average(i => means[i]);
        Sd = Math.Sqrt(Average(i => sds[i] * sds[i] + (means[i] - Mean) * (means[i] - Mean)));
    }

    /// <summary>Mean of the mixture.</summary>
    public double Mean { get; }

    /// <summary>Standard deviation of the mixture.</summary>
    public double Sd { get; }

    /// <summary>The distribution of a value of this mixture plus an independent normal error with mean 0.</summary>
    /// <param name="errorSd">Standard deviation of the error, at least 0.</param>
    public NormalMixture Widened(double errorSd) => new(weights, means, [.. sds.Select(sd => Math.Sqrt((sd * sd) + (errorSd * errorSd)))]);

    /// <summary>Probability of a value at or below x.</summary>
    public double Cdf(double x)
    {
        var sum = 0.0;
        for (var i = 0; i < weights.Length; i++)
            sum += weights[i] * (sds[i] > 0 ? Normal.Cdf((x - means[i]) / sds[i]) : x >= means[i] ? 1 : 0);
        return sum;
    }

    /// <summary>Probability of a value above x; not 1 - <see cref="Cdf"/>, so that small ones keep their digits.</summary>
    public double UpperTail(double x)
    {
        var sum = 0.0;
        for (var i = 0; i < weights.Length; i++)
            sum += weights[i] * (sds[i] > 0 ? Normal.Cdf((means[i] - x) / sds[i]) : x >= means[i] ? 0 : 1);
        return sum;
    }

    /// <summary>The smallest x with <see cref="Cdf"/> at least <paramref name="probability"/>, by Newton's method inside a shrinking bracket.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The probability is not strictly within 0..1.</exception>
    public double Quantile(double probability)
    {
        if (!(probability is > 0 and < 1))
            throw new ArgumentOutOfRangeException(nameof(probability), probability, "A quantile needs a probability strictly within 0..1.");
        var z = Normal.Quantile(probability);
        var (low, high) = Bracket(z);
        var x = Math.Clamp(Mean + z * Sd, low, high);
        for (var step = 0; step < 200 && high - low > 1e-13 * Scale(low, high); step++)
        {
            var (excess, density) = ExcessAndDensity(x, probability);
            if (excess < 0)
                low = x;
            else
                high = x;
            var newton = x - excess / density;
            // Newton converges quadratically: a step this small leaves an error far below rounding.
            if (Math.Abs(newton - x) < 1e-9 * Sd && newton >= low && newton <= high)
                return newton;
            x = newton > low && newton < high ? newton : .5 * (low + high);
        }
        return high;
    }

    // The quantile of a mixture lies between the smallest and the largest quantile of its parts.
    private (double Low, double High) Bracket(double z)
    {
        var (low, high) = (double.PositiveInfinity, double.NegativeInfinity);
        for (var i = 0; i < means.Length; i++)
        {
            var part = means[i] + z * sds[i];
            low = Math.Min(low, part);
            high = Math.Max(high, part);
        }
        return (low, high);
    }

    private (double Excess, double Density) ExcessAndDensity(double x, double probability)
    {
        var (sum, density) = (-probability, 0.0);
        for (var i = 0; i < weights.Length; i++)
        {
            if (sds[i] == 0)
            {
                sum += x >= means[i] ? weights[i] : 0;
                continue;
            }
            var z = (x - means[i]) / sds[i];
            var (cdf, pdf) = Normal.CdfAndDensity(z);
            sum += weights[i] * cdf;
            density += weights[i] / sds[i] * pdf;
        }
        return (sum, density);
    }

    private static double Scale(double low, double high) => Math.Max(Math.Abs(low), Math.Abs(high)) + double.Epsilon;

    private double Average(Func<int, double> value)
    {
        var sum = 0.0;
        for (var i = 0; i < weights.Length; i++)
            sum += weights[i] * value(i);
        return sum;
    }
}
