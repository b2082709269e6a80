namespace BackTracker.Engine.Numerics;

/// <summary>
/// A function of a standard normal vector, known by its values at even draws. A straight line close to it, whose distribution is known without
/// drawing, takes most of their noise away (a control variate).
/// </summary>
internal sealed class DrawnVariable
{
    // Standard deviations beyond which nothing is left of a normal that would be seen.
    private const double Far = 5;
    private readonly double[] values;
    private readonly double[] straight;
    private readonly double straightSd;

    private DrawnVariable(double[] values, double[] straight, double mean, double straightSd)
    {
        (this.values, this.straight, Mean, this.straightSd) = (values, straight, mean, straightSd);
        var squares = 0.0;
        foreach (var value in values)
            squares += (value - mean) * (value - mean);
        Sd = Math.Sqrt(squares / values.Length);
    }

    /// <summary>Mean of the values.</summary>
    public double Mean { get; }

    /// <summary>Their standard deviation.</summary>
    public double Sd { get; }

    /// <summary>A function by its values.</summary>
    /// <param name="values">At every draw.</param>
    /// <param name="normals">Every coordinate of the vector at every draw.</param>
    /// <param name="slopes">What each coordinate counts for, found without these draws: a line fitted to them would take away part of the spread too.</param>
    public static DrawnVariable Of(double[] values, double[][] normals, double[] slopes)
    {
        var (mean, variance, straight) = (values.Average(), 0.0, new double[values.Length]);
        Array.Fill(straight, mean);
        for (var direction = 0; direction < slopes.Length; direction++)
        {
            for (var i = 0; i < values.Length; i++)
                straight[i] += slopes[direction] * normals[direction][i];
            variance += slopes[direction] * slopes[direction];
        }
        return new DrawnVariable(values, straight, mean, Math.Sqrt(variance));
    }

    /// <summary>On the way to another function of the same vector.</summary>
    /// <param name="next">The other.</param>
    /// <param name="share">How far, 0 to 1.</param>
    /// <param name="moved">What is added.</param>
    public DrawnVariable Towards(DrawnVariable next, double share, double moved)
    {
        var (some, line) = (new double[values.Length], new double[values.Length]);
        for (var i = 0; i < some.Length; i++)
        {
            some[i] = double.Lerp(values[i], next.values[i], share) + moved;
            line[i] = double.Lerp(straight[i], next.straight[i], share) + moved;
        }
        return new DrawnVariable(some, line, double.Lerp(Mean, next.Mean, share) + moved, double.Lerp(straightSd, next.straightSd, share));
    }

    /// <summary>Probability of lying above a place, an independent normal error added.</summary>
    /// <param name="place">The place.</param>
    /// <param name="errorSd">Standard deviation of the error, over 0.</param>
    public double ProbabilityAbove(double place, double errorSd)
    {
        if (double.IsInfinity(place))
            return place < 0 ? 1 : 0;
        var sum = 0.0;
        for (var i = 0; i < values.Length; i++)
            sum += Above(values[i]) - Above(straight[i]);
        return Math.Clamp((sum / values.Length) + Normal.Cdf((Mean - place) / double.Hypot(straightSd, errorSd)), 0, 1);

        double Above(double value) => ((value - place) / errorSd) switch
        {
            < -Far => 0,
            > Far => 1,
            var sds => Normal.Cdf(sds),
        };
    }
}
