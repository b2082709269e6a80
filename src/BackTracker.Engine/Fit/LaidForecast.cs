using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Sections;

namespace BackTracker.Engine.Fit;

/// <summary>
/// The findings of a laid saddle over the days: the saddle is laid on the expected back of some days, and on a few of them on backs all
/// around the expected one (<see cref="LaidSpread"/>). Between those days everything is linear; how sure each coordinate is on a day enters
/// exactly.
/// </summary>
internal sealed class LaidForecast
{
    private const int NearStepDays = 28;
    private const int NearDays = 112;
    private const int FarStepDays = 56;
    private static readonly int[] SpreadDays = [0, 140, 365];
    private readonly LaidSaddle saddle;
    private readonly BackTrends back;
    private readonly DateOnly first;
    private readonly FitScope scope;
    private readonly List<int> nodes = [];
    private readonly List<LaidReading> expected = [];
    private readonly List<LaidSpread> spreads = [];

    /// <summary>A forecast from a day on.</summary>
    /// <param name="saddle">The saddle.</param>
    /// <param name="back">Trends of the back.</param>
    /// <param name="first">First day.</param>
    /// <param name="last">Last day, not before the first.</param>
    /// <param name="scope">Which findings will be asked for.</param>
    /// <exception cref="GeometryException">Saddle and back cannot be laid on each other on the first day.</exception>
    public LaidForecast(LaidSaddle saddle, BackTrends back, DateOnly first, DateOnly last, FitScope scope)
    {
        (this.saddle, this.back, this.first, this.scope) = (saddle, back, first, scope);
        Begin = saddle.On(back.On(first).Means);
        var length = Math.Max(0, last.DayNumber - first.DayNumber);
        for (var day = 0; nodes.Count == 0 || nodes[^1] < length; day += day < NearDays ? NearStepDays : FarStepDays)
        {
            nodes.Add(day);
            expected.Add(ReadOn(first.AddDays(day)));
        }
        for (var i = 0; i < SpreadDays.Length && (i == 0 || SpreadDays[i - 1] < length); i++)
            spreads.Add(SpreadOn(first.AddDays(SpreadDays[i])));
    }

    /// <summary>The saddle on the expected back of the first day.</summary>
    public SaddleFit Begin { get; }

    /// <summary>What is known of a finding on a day.</summary>
    public LaidNumbers On(DateOnly day, int finding)
    {
        var state = back.On(day);
        var at = day.DayNumber - first.DayNumber;
        var (before, after, share) = Around(SpreadDays, spreads.Count, at);
        return spreads[before].On(state, finding, spreads[after], share) with { Value = ExpectedOn(at, finding) };
    }

    /// <summary>A finding on the drawn backs of a day; null where its straight line tells it well.</summary>
    public DrawnVariable? DrawnOn(DateOnly day, int finding)
    {
        var (before, after, _) = Around(SpreadDays, spreads.Count, day.DayNumber - first.DayNumber);
        return spreads[before].DrawnOn(back.On(day), finding, spreads[after]);
    }

    private double ExpectedOn(int day, int finding)
    {
        var (before, after, share) = Around(nodes, nodes.Count, day);
        return before == after ? expected[before].Numbers[finding] : double.Lerp(expected[before].Numbers[finding], expected[after].Numbers[finding], share);
    }

    private static (int Before, int After, double Share) Around(IReadOnlyList<int> days, int count, int day)
    {
        var after = 0;
        while (after < count - 1 && days[after] < day)
            after++;
        return after == 0 || days[after] <= day ? (after, after, 0) : (after - 1, after, (day - days[after - 1]) / (double)(days[after] - days[after - 1]));
    }

    // A back that has grown out of the panel's reach, or a place where its traces do not reach the panel's edge any more, says no more than the one
    // before did, and is no surer either.
    private LaidReading ReadOn(DateOnly day)
    {
        if (saddle.TryReadOn(back.On(day).Means) is not { } read)
            return expected[^1];
        return expected.Count == 0 ? read : read with { Numbers = [.. read.Numbers.Select((number, i) => double.IsNaN(number) ? expected[^1].Numbers[i] : number)] };
    }

    private LaidSpread SpreadOn(DateOnly day) =>
        back.On(day) is var state && saddle.TryReadOn(state.Means) is { } expected && (spreads.Count == 0 || IsAsKnownAsAtFirst(expected)) ? new LaidSpread(saddle, back, state, expected, scope) : spreads[^1];

    private bool IsAsKnownAsAtFirst(LaidReading read) => Enumerable.Range(0, saddle.Keys.Count).All(i => !double.IsNaN(read.Numbers[i]) || double.IsNaN(expected[0].Numbers[i]));
}
