using System.Collections.Concurrent;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Forecasts;

/// <summary>Probability that something is out on a day.</summary>
/// <param name="Any">That any finding is, counting how they go together.</param>
/// <param name="AnyAlone">The same were they to know nothing of each other.</param>
internal readonly record struct JointProbability(double Any, double AnyAlone);

/// <summary>
/// Probability that any of several findings is out. Each keeps its own probability; how they go together follows from what each
/// direction of the back counts for in them, as correlated normal draws (a Gaussian copula), fixed and the same on every day.
/// </summary>
internal sealed class JointRisk
{
    private const int Draws = 2048;
    private const int AnewEveryDays = 168;
    private static readonly ConcurrentDictionary<int, double[]> Normals = new();
    private readonly FindingPath[] paths;
    private readonly DateOnly first;
    private readonly Dictionary<int, double[]> drawn = [];

    /// <param name="paths">The findings.</param>
    /// <param name="first">First day that will be asked for.</param>
    public JointRisk(FindingPath[] paths, DateOnly first) => (this.paths, this.first) = (paths, first);

    public JointProbability On(DateOnly day)
    {
        Span<double> below = stackalloc double[paths.Length], above = stackalloc double[paths.Length];
        var (inAlone, noSurprise) = (1.0, 1.0);
        for (var i = 0; i < paths.Length; i++)
        {
            var numbers = paths[i].On(day);
            var margin = Math.Min(1, numbers.ProbabilityLow + numbers.ProbabilityHigh);
            (below[i], above[i]) = (QuantileOf(numbers.ProbabilityLow), -QuantileOf(numbers.ProbabilityHigh));
            inAlone *= 1 - margin;
            // What nobody foresees happens to the horse once, not once a finding.
            noSurprise = margin < 1 ? Math.Min(noSurprise, (1 - numbers.ProbabilityOut) / (1 - margin)) : noSurprise;
        }
        var inside = paths.Length == 1 ? inAlone : ShareInside(DrawnOn(day), below, above);
        return new JointProbability(1 - (Math.Max(inside, inAlone) * noSurprise), 1 - (inAlone * noSurprise));
    }

    private static double QuantileOf(double probability) =>
        probability <= 0 ? double.NegativeInfinity : probability >= 1 ? double.PositiveInfinity : Normal.Quantile(probability);

    private static double ShareInside(double[] drawn, ReadOnlySpan<double> below, ReadOnlySpan<double> above)
    {
        var (inside, count) = (0, below.Length);
        for (var draw = 0; draw < Draws; draw++)
        {
            var row = drawn.AsSpan(draw * count, count);
            var i = 0;
            while (i < count && row[i] >= below[i] && row[i] <= above[i])
                i++;
            inside += i == count ? 1 : 0;
        }
        return inside / (double)Draws;
    }

    private double[] DrawnOn(DateOnly day)
    {
        var span = Math.Max(0, day.DayNumber - first.DayNumber + (AnewEveryDays / 2)) / AnewEveryDays;
        if (!drawn.TryGetValue(span, out var draws))
            drawn.Add(span, draws = Correlated(first.AddDays(span * AnewEveryDays)));
        return draws;
    }

    private double[] Correlated(DateOnly day)
    {
        var lower = Cholesky.Of(Correlations(day));
        var (count, draws) = (paths.Length, new double[Draws * paths.Length]);
        for (var j = 0; j < count; j++)
        {
            var normals = Normals.GetOrAdd(j, coordinate => EvenDraws.Normals(coordinate, Draws));
            for (var i = j; i < count; i++)
            {
                var part = lower[i, j];
                for (var draw = 0; draw < Draws; draw++)
                    draws[(draw * count) + i] += part * normals[draw];
            }
        }
        return draws;
    }

    private double[,] Correlations(DateOnly day)
    {
        var (count, found) = (paths.Length, new double[paths.Length, paths.Length]);
        var loadings = paths.Select(path => path.LoadingsOn(day)).ToArray();
        var sds = paths.Select(path => path.On(day).Sd).ToArray();
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
