namespace BackTracker.Engine.Repeatability;

/// <summary>How far repeats lie around the mean of their own session, summed over sessions.</summary>
/// <param name="DegreesOfFreedom">Sum of repeats - 1 over the sessions, at least 0: a pair gives one.</param>
/// <param name="SumOfSquares">Sum of squared deviations from the mean of each session, in the squared unit of the metric.</param>
public readonly record struct RepeatScatter(int DegreesOfFreedom, double SumOfSquares)
{
    /// <summary>
    /// Standard deviation of one reading about the mean of its session, in the metric's unit; NaN where nothing was repeated. For pairs it is
    /// sqrt(sum d^2 / 2n) (Bland and Altman 1986, Lancet i:307-310).
    /// </summary>
    public double Sd => DegreesOfFreedom > 0 ? Math.Sqrt(SumOfSquares / DegreesOfFreedom) : double.NaN;

    /// <summary>The scatter of one session: taken about the mean, so that constant leading digits cost nothing.</summary>
    /// <param name="repeats">The repeats, at least one, in the metric's unit.</param>
    public static RepeatScatter Of(IReadOnlyList<double> repeats)
    {
        ArgumentNullException.ThrowIfNull(repeats);
        ArgumentOutOfRangeException.ThrowIfZero(repeats.Count);
        var mean = repeats.Average();
        return new RepeatScatter(repeats.Count - 1, repeats.Sum(value => (value - mean) * (value - mean)));
    }

    /// <summary>The scatter of several sessions.</summary>
    /// <param name="sessions">The repeats of each session.</param>
    public static RepeatScatter OfAll(IEnumerable<IReadOnlyList<double>> sessions) => Sum(sessions.Select(Of));

    /// <summary>All of them together.</summary>
    public static RepeatScatter Sum(IEnumerable<RepeatScatter> parts) => parts.Aggregate(default(RepeatScatter), (sum, part) => sum + part);

    /// <summary>Both together.</summary>
    public static RepeatScatter operator +(RepeatScatter left, RepeatScatter right) =>
        new(left.DegreesOfFreedom + right.DegreesOfFreedom, left.SumOfSquares + right.SumOfSquares);
}
