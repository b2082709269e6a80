namespace BackTracker.Engine.Numerics;

/// <summary>A normal distribution cut off at zero: what lies below counts as zero (max(0, g) with g normal).</summary>
/// <param name="Location">Mean of g.</param>
/// <param name="Scale">Standard deviation of g.</param>
internal readonly record struct CutNormal(double Location, double Scale)
{
    private const double Lowest = -6;
    private const double NeverCut = 6;

    /// <summary>The cut normal with a given mean and standard deviation.</summary>
    /// <param name="mean">Over 0.</param>
    /// <param name="sd">At least 0.</param>
    public static CutNormal Of(double mean, double sd)
    {
        // The ratio of the two falls as less is cut off, so that it can be halved down to.
        var (low, high) = (Lowest, NeverCut);
        if (sd <= mean * RatioAt(NeverCut))
            return new CutNormal(mean, sd);
        for (var step = 0; step < 40; step++)
        {
            var middle = .5 * (low + high);
            if (RatioAt(middle) > sd / mean)
                low = middle;
            else
                high = middle;
        }
        var scale = mean / MeanAt(low);
        return new CutNormal(low * scale, scale);
    }

    /// <summary>Probability of lying above a place over 0, an independent normal error added.</summary>
    public double ProbabilityAbove(double place, double errorSd) => Normal.Cdf((Location - place) / double.Hypot(Scale, errorSd));

    private static double MeanAt(double location) => (location * Normal.Cdf(location)) + Normal.Density(location);

    private static double RatioAt(double location)
    {
        var mean = MeanAt(location);
        var square = (((location * location) + 1) * Normal.Cdf(location)) + (location * Normal.Density(location));
        return Math.Sqrt(Math.Max(0, (square / (mean * mean)) - 1));
    }
}
