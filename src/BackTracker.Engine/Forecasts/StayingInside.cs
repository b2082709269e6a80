using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Forecasts;

/// <summary>A range a value is to stay in; infinite where it is open.</summary>
internal readonly record struct Band(double Low, double High);

/// <summary>
/// How likely paths are to lie inside a band on a day, and to have done so on every day so far. An error that stays the same along a path (how the
/// tree was measured, where the level really is) is not drawn: of it, it is known in closed form how often it leaves the path inside.
/// </summary>
/// <param name="errorSds">Standard deviation of that error, of each path; 0 where there is none.</param>
internal sealed class StayingInside(double[] errorSds)
{
    private readonly double[] least = new double[errorSds.Length];
    private readonly double[] most = Filled(errorSds.Length);

    /// <summary>Probability of each path to lie inside on the last day.</summary>
    public double[] On { get; } = new double[errorSds.Length];

    /// <summary>Probability of each path to have lain inside on every day up to it.</summary>
    public double[] By { get; } = new double[errorSds.Length];

    /// <summary>Goes on to the next day.</summary>
    /// <param name="values">Value of every path.</param>
    /// <param name="band">The band.</param>
    public void Next(double[] values, Band band)
    {
        for (var path = 0; path < values.Length; path++)
        {
            // The error must lie above the one and below the other; so that it does on every day, above the most and below the least of them.
            var (low, high) = (Below(band.Low - values[path], errorSds[path]), 1 - Below(values[path] - band.High, errorSds[path]));
            (least[path], most[path]) = (Math.Max(least[path], low), Math.Min(most[path], high));
            (On[path], By[path]) = (Math.Max(0, high - low), Math.Max(0, most[path] - least[path]));
        }
    }

    private static double Below(double place, double sd) => sd > 0 ? Normal.RoughCdf(place / sd) : place > 0 ? 1 : 0;

    private static double[] Filled(int count)
    {
        var filled = new double[count];
        Array.Fill(filled, 1);
        return filled;
    }
}
