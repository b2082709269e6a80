using BackTracker.Engine.Fit;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Forecasts;

/// <summary>Probability that something is out on a day.</summary>
/// <param name="Any">That any finding is, counting how they go together.</param>
/// <param name="AnyAlone">The same were they to know nothing of each other.</param>
internal readonly record struct JointProbability(double Any, double AnyAlone);

/// <summary>
/// Probability that any of several findings is out. Each keeps its own probability; how they go together follows from what each
/// direction of the back counts for in them twelve weeks ahead, as correlated normal draws (a Gaussian copula), the same on every day. Findings that
/// are never likely to be out count as knowing nothing of the others, which changes nothing that can be seen.
/// </summary>
internal sealed class JointRisk
{
    private const int Draws = 2048;
    private const int GoTogetherAsAfterDays = 84;
    private const double Unlikely = .002;
    private readonly FindingPath[] likely;
    private readonly FindingPath[] unlikely;
    private readonly DateOnly first;
    private readonly Lazy<double[][]> drawn;

    /// <param name="paths">The findings.</param>
    /// <param name="first">First day that will be asked for.</param>
    /// <param name="length">Days after it that may be asked for.</param>
    public JointRisk(FindingPath[] paths, DateOnly first, int length)
    {
        this.first = first;
        var split = paths.ToLookup(path => RiskCurves.Nodes(length).Any(node => MarginOf(path.On(first.AddDays(node))) >= Unlikely));
        (likely, unlikely) = ([.. split[true]], [.. split[false]]);
        drawn = new Lazy<double[][]>(Correlated);
    }

    public JointProbability On(DateOnly day)
    {
        Span<double> below = stackalloc double[likely.Length], above = stackalloc double[likely.Length];
        var (inAlone, noSurprise) = (1.0, 1.0);
        for (var i = 0; i < likely.Length; i++)
        {
            var numbers = likely[i].On(day);
            (below[i], above[i]) = (QuantileOf(numbers.ProbabilityLow), -QuantileOf(numbers.ProbabilityHigh));
            CountIn(numbers, ref inAlone, ref noSurprise);
        }
        var inside = likely.Length < 2 ? inAlone : Math.Max(inAlone, ShareInside(below, above));
        var inUnlikely = 1.0;
        foreach (var path in unlikely)
            CountIn(path.On(day), ref inUnlikely, ref noSurprise);
        return new JointProbability(1 - (inside * inUnlikely * noSurprise), 1 - (inAlone * inUnlikely * noSurprise));
    }

    // What nobody foresees happens to the horse once, not once a finding.
    private static void CountIn(in FindingNumbers numbers, ref double inside, ref double noSurprise)
    {
        var margin = MarginOf(numbers);
        inside *= 1 - margin;
        if (margin < 1)
            noSurprise = Math.Min(noSurprise, (1 - numbers.ProbabilityOut) / (1 - margin));
    }

    private static double MarginOf(in FindingNumbers numbers) => Math.Min(1, numbers.ProbabilityLow + numbers.ProbabilityHigh);

    private static double QuantileOf(double probability) =>
        probability <= 0 ? double.NegativeInfinity : probability >= 1 ? double.PositiveInfinity : Normal.Quantile(probability);

    private double ShareInside(ReadOnlySpan<double> below, ReadOnlySpan<double> above)
    {
        Span<bool> isOut = stackalloc bool[Draws];
        isOut.Clear();
        for (var i = 0; i < likely.Length; i++)
        {
            var (values, low, high) = (drawn.Value[i], below[i], above[i]);
            for (var draw = 0; draw < Draws; draw++)
                isOut[draw] |= values[draw] < low || values[draw] > high;
        }
        return isOut.Count(false) / (double)Draws;
    }

    private double[][] Correlated()
    {
        var lower = Cholesky.Of(Correlations(first.AddDays(GoTogetherAsAfterDays)));
        var draws = new double[likely.Length][];
        for (var i = 0; i < draws.Length; i++)
        {
            draws[i] = new double[Draws];
            for (var j = 0; j <= i; j++)
            {
                var (part, normals) = (lower[i, j], EvenDraws.Normals(j, Draws));
                for (var draw = 0; draw < Draws; draw++)
                    draws[i][draw] += part * normals[draw];
            }
        }
        return draws;
    }

    private double[,] Correlations(DateOnly day)
    {
        var (count, found) = (likely.Length, new double[likely.Length, likely.Length]);
        var loadings = likely.Select(path => path.LoadingsOn(day)).ToArray();
        var sds = likely.Select(path => path.On(day).Sd).ToArray();
        for (var i = 0; i < count; i++)
        {
            found[i, i] = 1;
            for (var j = 0; j < i; j++)
                found[i, j] = found[j, i] = sds[i] * sds[j] > 0 ? Shared(loadings[i], loadings[j]) / (sds[i] * sds[j]) : 0;
        }
        return found;
    }

    private static double Shared(double[] one, double[] other)
    {
        var sum = 0.0;
        for (var i = 0; i < Math.Min(one.Length, other.Length); i++)
            sum += one[i] * other[i];
        return sum;
    }
}
