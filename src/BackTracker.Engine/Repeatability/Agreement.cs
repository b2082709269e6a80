using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Repeatability;

/// <summary>A number with the ends of its 95 % interval.</summary>
/// <param name="Value">The number.</param>
/// <param name="Low">Low end.</param>
/// <param name="High">High end.</param>
public readonly record struct Between(double Value, double Low, double High);

/// <summary>Two readings of the same thing, as they are drawn to see whether they agree.</summary>
/// <param name="Mean">Mean of the two, in the metric's unit.</param>
/// <param name="Difference">One less the other, in the metric's unit.</param>
public readonly record struct ComparedPair(double Mean, double Difference)
{
    /// <summary>The pair of two readings.</summary>
    /// <param name="one">One, in the metric's unit.</param>
    /// <param name="other">The other, in the same unit.</param>
    public static ComparedPair Of(double one, double other) => new((one + other) / 2, one - other);
}

/// <summary>How two people, or two methods, agree on the same horses: by differences of pairs (Bland and Altman 1986, Lancet i:307-310).</summary>
/// <param name="Pairs">Number of pairs, at least 2.</param>
/// <param name="Bias">Mean difference, in the metric's unit.</param>
/// <param name="Sd">Standard deviation of the differences, in the metric's unit.</param>
public readonly record struct Agreement(int Pairs, double Bias, double Sd)
{
    /// <summary>Standard deviations within which 95 % of normal differences lie.</summary>
    public const double Usual = 1.96;

    /// <summary>Compares.</summary>
    /// <param name="differences">One less the other, of each pair; at least 2.</param>
    public static Agreement Of(IReadOnlyList<double> differences)
    {
        ArgumentNullException.ThrowIfNull(differences);
        ArgumentOutOfRangeException.ThrowIfLessThan(differences.Count, 2);
        return new Agreement(differences.Count, differences.Average(), RepeatScatter.Of(differences).Sd);
    }

    /// <summary>Compares.</summary>
    /// <param name="pairs">At least 2.</param>
    public static Agreement Of(IReadOnlyList<ComparedPair> pairs) => Of([.. pairs.Select(pair => pair.Difference)]);

    /// <summary>Mean difference with its interval.</summary>
    public Between Offset => Around(Bias, Sd / Math.Sqrt(Pairs));

    /// <summary>Low limit of agreement with its interval, whose standard error is sqrt(3/n) of the differences' deviation.</summary>
    /// <param name="deviations">Standard deviations of the differences; the paper of 1986 takes 2.</param>
    public Between LowLimit(double deviations = Usual) => Around(Bias - (deviations * Sd), LimitError);

    /// <summary>High limit of agreement with its interval.</summary>
    /// <param name="deviations">Standard deviations of the differences; the paper of 1986 takes 2.</param>
    public Between HighLimit(double deviations = Usual) => Around(Bias + (deviations * Sd), LimitError);

    private double LimitError => Sd * Math.Sqrt(3.0 / Pairs);

    private Between Around(double value, double error)
    {
        var half = StudentT.Quantile(.975, Pairs - 1) * error;
        return new Between(value, value - half, value + half);
    }
}
