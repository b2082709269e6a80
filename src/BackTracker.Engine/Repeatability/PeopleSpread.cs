using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Repeatability;

/// <summary>How differently people scatter: what one of them is shrunk towards.</summary>
public static class PeopleSpread
{
    /// <summary>Fewest people from whom it is told how they differ; with fewer, everybody is shrunk with <see cref="ErrorEstimate.PriorWeight"/> (our choice).</summary>
    public const int FewestPeople = 5;

    /// <summary>What people weigh who differ no more than chance has it: next to everything (our choice).</summary>
    public const double MostWeight = 1000;

    /// <summary>
    /// Prior of a further person from the scatter of several, by the moments of the logarithms of their variances (Smyth 2004, Statistical
    /// Applications in Genetics and Molecular Biology 3(1):3; where people do not differ at all, its weight would be infinite).
    /// </summary>
    /// <param name="people">Scatter of two people or more, each with repeats that differ.</param>
    /// <exception cref="ArgumentException">There are fewer, or somebody's repeats never differed.</exception>
    public static ErrorEstimate PriorOf(IReadOnlyList<RepeatScatter> people)
    {
        ArgumentNullException.ThrowIfNull(people);
        if (people.Count < 2 || people.Any(person => person.DegreesOfFreedom == 0 || !(person.SumOfSquares > 0)))
            throw new ArgumentException("It takes two people or more whose repeats differ.", nameof(people));
        double[] logs = [.. people.Select(person => Math.Log(person.Sd * person.Sd) - ExpectedLog(.5 * person.DegreesOfFreedom))];
        var mean = logs.Average();
        var excess = (logs.Sum(log => (log - mean) * (log - mean)) / (logs.Length - 1)) - people.Average(person => GammaFunctions.Trigamma(.5 * person.DegreesOfFreedom));
        var half = Math.Min(excess > 0 ? GammaFunctions.InverseTrigamma(excess) : double.PositiveInfinity, MostWeight / 2);
        return new ErrorEstimate(2 * half, Math.Exp(.5 * (mean + ExpectedLog(half))));
    }

    // Expected logarithm of a chi-square variable over its degrees of freedom, given half of these.
    private static double ExpectedLog(double half) => GammaFunctions.Digamma(half) - Math.Log(half);
}
