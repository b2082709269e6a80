using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Sections;

namespace BackTracker.Engine.Fit;

/// <summary>
/// The findings of a laid saddle over the days: evaluated at the expected back of some days, and linearised by differences of about one
/// standard deviation of each coordinate either way.
/// </summary>
internal sealed class LaidForecast
{
    private const int NearStepDays = 28;
    private const int NearDays = 112;
    private const int FarStepDays = 56;
    private const int SlopesEveryDays = 168;
    private readonly LaidSaddle saddle;
    private readonly BackTrends back;
    private readonly DateOnly first;
    private readonly List<int> nodes = [];
    private readonly List<double[]> values = [];
    private readonly List<double[][]> slopes = [];

    /// <summary>A forecast from a day on.</summary>
    /// <param name="saddle">The saddle.</param>
    /// <param name="back">Trends of the back.</param>
    /// <param name="first">First day.</param>
    /// <param name="last">Last day, not before the first.</param>
    /// <exception cref="GeometryException">Saddle and back cannot be laid on each other on the first day.</exception>
    public LaidForecast(LaidSaddle saddle, BackTrends back, DateOnly first, DateOnly last)
    {
        (this.saddle, this.back, this.first) = (saddle, back, first);
        var length = Math.Max(0, last.DayNumber - first.DayNumber);
        Begin = saddle.On(back.On(first).Means);
        for (var day = 0; nodes.Count == 0 || nodes[^1] < length; day += day < NearDays ? NearStepDays : FarStepDays)
        {
            nodes.Add(day);
            values.Add(ValuesOn(first.AddDays(day)));
        }
        for (var day = 0; day == 0 || day - (SlopesEveryDays / 2) <= length; day += SlopesEveryDays)
            slopes.Add(SlopesOf(first.AddDays(day)));
    }

    /// <summary>The saddle on the expected back of the first day.</summary>
    public SaddleFit Begin { get; }

    /// <summary>Value of a finding on a day; NaN where it is not known.</summary>
    public double ValueOn(DateOnly day, int finding)
    {
        var at = Math.Clamp(day.DayNumber - first.DayNumber, 0, nodes[^1]);
        var after = nodes.FindIndex(node => node >= at);
        return nodes[after] == at
            ? values[after][finding]
            : double.Lerp(values[after - 1][finding], values[after][finding], (at - nodes[after - 1]) / (double)(nodes[after] - nodes[after - 1]));
    }

    /// <summary>What each coordinate counts for in a finding on a day.</summary>
    public double[] SlopesOn(DateOnly day, int finding) =>
        slopes[Math.Clamp((day.DayNumber - first.DayNumber + (SlopesEveryDays / 2)) / SlopesEveryDays, 0, slopes.Count - 1)][finding];

    // A back that has grown out of the panel's reach says no more than the day before did.
    private double[] ValuesOn(DateOnly day) => TryValues(back.On(day).Means) ?? values[^1];

    private double[][] SlopesOf(DateOnly day)
    {
        var state = back.On(day);
        var middle = TryValues(state.Means) ?? values[0];
        var found = Enumerable.Range(0, saddle.Keys.Count).Select(_ => new double[back.Count]).ToArray();
        var shifted = state.Means.ToArray();
        for (var i = 0; i < back.Count; i++)
        {
            if (!saddle.HangsOn(i))
                continue;
            var step = Math.Max(state.Sds[i], 1e-3);
            shifted[i] = state.Means[i] + step;
            var above = TryValues(shifted);
            shifted[i] = state.Means[i] - step;
            var below = TryValues(shifted);
            shifted[i] = state.Means[i];
            for (var finding = 0; finding < found.Length; finding++)
                found[finding][i] = Slope(above?[finding] ?? double.NaN, middle[finding], below?[finding] ?? double.NaN, step);
        }
        return found;
    }

    // Where one of the two cannot be laid, or does not reach, the other side of the middle tells the slope alone.
    private static double Slope(double above, double middle, double below, double step) => (double.IsNaN(above), double.IsNaN(below)) switch
    {
        (false, false) => (above - below) / (2 * step),
        (false, true) => (above - middle) / step,
        (true, false) => (middle - below) / step,
        _ => 0,
    };

    private double[]? TryValues(IReadOnlyList<double> coordinates)
    {
        try
        {
            return saddle.ValuesOn(coordinates);
        }
        catch (GeometryException)
        {
            return null;
        }
    }
}
