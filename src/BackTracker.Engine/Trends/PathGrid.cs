using System.Collections.Concurrent;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Trends;

/// <summary>
/// Days after its start on which a path is looked at, and the few independent ways in which a driven level wanders over them. Between the
/// days it is taken as straight: a level whose rate wanders is smooth.
/// </summary>
internal sealed class PathGrid
{
    private const int FollowedDays = 546;
    private readonly double[] days;
    private readonly ConcurrentDictionary<double, double[][]> known = new();

    /// <param name="days">Days after the start, growing, the first 0.</param>
    /// <param name="modes">How many ways are told apart.</param>
    public PathGrid(IEnumerable<int> days, int modes)
        : this([.. days.Select(day => (double)day)], modes)
    {
    }

    /// <inheritdoc cref="PathGrid(IEnumerable{int}, int)"/>
    public PathGrid(double[] days, int modes) => (this.days, Modes) = (days, modes);

    /// <summary>
    /// The days on which what a saddle does is worked out, to a year and a half, after which little is left to be told by a path. Fixed, so that a longer
    /// horizon changes nothing within a shorter one.
    /// </summary>
    public static PathGrid Usual { get; } = new(DaysTo(FollowedDays), 14);

    /// <summary>Every third day of a year with more modes, for a measure that is followed by itself.</summary>
    public static PathGrid Fine { get; } = new(Enumerable.Range(0, 123).Select(third => 3 * third), 48);

    public int Count => days.Length;

    public int Modes { get; }

    public double LastDay => days[^1];

    public double this[int node] => days[node];

    /// <summary>A value on any day of the grid from those at its nodes.</summary>
    public double Between(double[] values, double day)
    {
        var after = Array.FindIndex(days, node => node >= day);
        return after == 0 ? values[0] : double.Lerp(values[after - 1], values[after], (day - days[after - 1]) / (days[after] - days[after - 1]));
    }

    /// <summary>Every seventh day, after twelve weeks every fourteenth, after half a year every twenty-eighth, to the one at or beyond a length.</summary>
    public static IEnumerable<int> DaysTo(int length)
    {
        var node = 0;
        for (; node < length; node += node < 84 ? 7 : node < 182 ? 14 : 28)
            yield return node;
        yield return node;
    }

    /// <summary>Level at every day for one standard deviation of each mode, for a driving noise of variance 1 a day^3 and a rate of the given memory.</summary>
    public double[][] ModesOf(double tauDays) => known.GetOrAdd(tauDays, tau => PivotedCholesky.Of(Covariances(tau), Modes));

    private double[,] Covariances(double tauDays)
    {
        var found = new double[Count, Count];
        for (var i = 0; i < Count; i++)
        {
            var toFirst = Transition.Over(days[i], tauDays);
            for (var j = i; j < Count; j++)
            {
                var between = Transition.Over(days[j] - days[i], tauDays);
                found[i, j] = found[j, i] = toFirst.LevelVar + (between.LevelFromRate * toFirst.LevelRateCov);
            }
        }
        return found;
    }
}
