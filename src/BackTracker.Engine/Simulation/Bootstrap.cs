using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Simulation;

/// <summary>A number with its 95 % interval.</summary>
/// <param name="Value">From all horses.</param>
/// <param name="Low">Lower end.</param>
/// <param name="High">Upper end.</param>
public readonly record struct Estimate(double Value, double Low, double High);

/// <summary>
/// How sure a number from many horses is: worked out again from as many horses drawn with replacement, 2000 times, and the middle 95 % of what came out
/// (percentile bootstrap: Efron and Tibshirani 1993, from memory). Equal arguments give equal intervals.
/// </summary>
public static class Bootstrap
{
    private const int Times = 2000;
    private const int Tail = Times / 40;

    /// <summary>Mean over horses.</summary>
    public static Estimate Mean(IReadOnlyList<double> values) => Of(values.Count, drawn => Sum(values, drawn) / drawn.Length);

    /// <summary>Mean of one thing over the mean of another of the same horses: paired, because the horses are drawn for both at once.</summary>
    public static Estimate Ratio(IReadOnlyList<double> over, IReadOnlyList<double> under) => Of(over.Count, drawn => Sum(over, drawn) / Sum(under, drawn));

    /// <summary>Any number that can be told from some of the horses, each by its place; one may be drawn several times.</summary>
    /// <param name="horses">How many there are.</param>
    /// <param name="number">The number from the horses drawn.</param>
    public static Estimate Of(int horses, Func<int[], double> number)
    {
        ArgumentNullException.ThrowIfNull(number);
        var (bits, drawn, found) = (new SplitMix64((ulong)horses), new int[horses], new double[Times]);
        for (var time = 0; time < Times; time++)
        {
            for (var i = 0; i < horses; i++)
                drawn[i] = (int)(bits.Next() % (ulong)horses);
            found[time] = number(drawn);
        }
        Array.Sort(found);
        return new Estimate(number([.. Enumerable.Range(0, horses)]), found[Tail], found[^(Tail + 1)]);
    }

    private static double Sum(IReadOnlyList<double> values, int[] drawn)
    {
        var sum = 0.0;
        foreach (var horse in drawn)
            sum += values[horse];
        return sum;
    }
}
