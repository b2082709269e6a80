using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Sections;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Fit;

/// <summary>One finding of a pairing on any day.</summary>
/// <param name="key">Which.</param>
/// <param name="limits">Its limits.</param>
/// <param name="evidenceOn">Day of the last evidence: the last session that bears on it, the last change of the saddle.</param>
internal abstract class FindingPath(FindingKey key, Limits limits, DateOnly evidenceOn)
{
    public FindingKey Key => key;

    public Limits Limits => limits;

    public DateOnly EvidenceOn => evidenceOn;

    /// <summary>Station it is at or near; null where there is none or it is of the whole saddle.</summary>
    public Station? Near { get; init; } = key.Station;

    /// <summary>Third of the panel it is in; null where it is at a station or of the whole saddle.</summary>
    public Zone? Third { get; init; }

    /// <summary>The numbers on a day.</summary>
    public abstract FindingNumbers On(DateOnly day);

    /// <summary>What each independent direction of the back counts for on a day, in the finding's unit for one standard deviation; empty where none does.</summary>
    public virtual double[] LoadingsOn(DateOnly day) => [];

    /// <summary>The numbers of a normal distribution, surprises left out.</summary>
    protected FindingNumbers Numbers(double value, double sd)
    {
        var (low, high) = sd > 0
            ? (Normal.Cdf((limits.OutBelow - value) / sd), Normal.Cdf((value - limits.OutAbove) / sd))
            : (value < limits.OutBelow ? 1 : 0, value > limits.OutAbove ? 1 : 0);
        return new FindingNumbers(value, sd, low, high, low + high);
    }
}

/// <summary>A tree known by widths against the width of the back: exact, from the mixture of the trend.</summary>
internal sealed class WidthPath(FindingKey key, Limits limits, DateOnly evidenceOn, double treeWidthMm, MetricTrend trend, BackTrends back, CheckPolicy policy)
    : FindingPath(key, limits, evidenceOn)
{
    private readonly int coordinate = back.IndexOf(trend.Series.Metric);

    public override double[] LoadingsOn(DateOnly day)
    {
        var state = back.On(day);
        return [.. Enumerable.Range(0, back.Count).Select(direction => -back.LoadingOf(coordinate, direction, state))];
    }

    public override FindingNumbers On(DateOnly day) => WidthFit.Numbers(treeWidthMm, trend, Limits, policy, day);
}

/// <summary>How uneven the back is: of the horse, from the trend of the difference.</summary>
internal sealed class AsymmetryPath(FindingKey key, Limits limits, MetricTrend trend, CheckPolicy policy)
    : FindingPath(key, limits, trend.Series.Points[^1].On)
{
    public override FindingNumbers On(DateOnly day)
    {
        var level = trend.On(day);
        var (low, high) = (level.ProbabilityBelow(Limits.OutBelow), level.ProbabilityAbove(Limits.OutAbove));
        return new FindingNumbers(level.Mean, level.Sd, low, high, policy.WithSurprise(low + high, EvidenceOn, day));
    }
}

/// <summary>A finding that does not move with the back.</summary>
internal sealed class StandingPath(FindingKey key, Limits limits, DateOnly evidenceOn, double value, double sd) : FindingPath(key, limits, evidenceOn)
{
    public override FindingNumbers On(DateOnly day) => Numbers(value, sd);
}

/// <summary>
/// A finding of the saddle laid on the back: its value at the expected back of a few days, linear between, and its spread from what each
/// coordinate counts for.
/// </summary>
internal sealed class LaidPath(FindingKey key, Limits limits, DateOnly evidenceOn, BackTrends back, LaidForecast forecast, int index, CheckPolicy policy)
    : FindingPath(key, limits, evidenceOn)
{
    private readonly double treeSd = MeasureFacts.TreeSd(key.Measure, policy.TreeMeasureSdMm);
    private readonly Dictionary<DateOnly, (FindingNumbers Numbers, double[] Loadings)> found = [];

    public override double[] LoadingsOn(DateOnly day) => FoundOn(day).Loadings;

    public override FindingNumbers On(DateOnly day) => FoundOn(day).Numbers;

    private (FindingNumbers Numbers, double[] Loadings) FoundOn(DateOnly day)
    {
        if (!found.TryGetValue(day, out var known))
            found.Add(day, known = Find(day));
        return known;
    }

    private (FindingNumbers Numbers, double[] Loadings) Find(DateOnly day)
    {
        var laid = forecast.On(day, index);
        var numbers = forecast.DrawnOn(day, index) is { } drawn ? Drawn(drawn) : Straight(laid);
        var probabilityOut = policy.WithSurprise(numbers.ProbabilityLow + numbers.ProbabilityHigh, back.LastOn, day);
        // Said is what the saddle does on the expected back; how likely it is out counts every back that may be.
        return (numbers with { Value = laid.Value, ProbabilityOut = probabilityOut }, laid.Loadings);
    }

    private FindingNumbers Straight(in LaidNumbers laid)
    {
        var variance = laid.BendVariance;
        foreach (var loading in laid.Loadings)
            variance += loading * loading;
        return Numbers(laid.Value + laid.Shift, Math.Sqrt(variance + (treeSd * treeSd)));
    }

    private FindingNumbers Drawn(DrawnVariable drawn)
    {
        var (low, high) = (1 - drawn.ProbabilityAbove(Limits.OutBelow, treeSd), drawn.ProbabilityAbove(Limits.OutAbove, treeSd));
        return new FindingNumbers(drawn.Mean, double.Hypot(drawn.Sd, treeSd), low, high, low + high);
    }
}
