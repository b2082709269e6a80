using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Forecasts;
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

    /// <summary>The numbers of a normal distribution, surprises left out.</summary>
    protected FindingNumbers Numbers(double value, double sd)
    {
        var (low, high) = sd > 0
            ? (Normal.Cdf((limits.OutBelow - value) / sd), Normal.Cdf((value - limits.OutAbove) / sd))
            : (value < limits.OutBelow ? 1 : 0, value > limits.OutAbove ? 1 : 0);
        return new FindingNumbers(value, sd, low, high, low + high);
    }
}

/// <summary>A finding that moves with the back: along a straight line in the coordinates it is followed on the paths they may take.</summary>
/// <param name="key">Which.</param>
/// <param name="limits">Its limits.</param>
/// <param name="evidenceOn">Day of the last evidence.</param>
/// <param name="treeSd">Standard deviation from measuring the tree, in the finding's unit: one error that stays.</param>
internal abstract class MovingPath(FindingKey key, Limits limits, DateOnly evidenceOn, double treeSd) : FindingPath(key, limits, evidenceOn)
{
    public double TreeSd => treeSd;

    /// <summary>What each coordinate of the back counts for on a day, in the finding's unit for one of its own.</summary>
    public abstract double[] SlopesOn(DateOnly day);

    /// <summary>By how much the straight line and the error of the tree may lie off the expected value on a day while the finding stays within limits.</summary>
    public abstract Band RoomOn(DateOnly day);
}

/// <summary>A tree known by widths against the width of the back: exact, from the mixture of the trend.</summary>
internal sealed class WidthPath(FindingKey key, Limits limits, DateOnly evidenceOn, double treeWidthMm, MetricTrend trend, BackTrends back, CheckPolicy policy)
    : MovingPath(key, limits, evidenceOn, policy.TreeMeasureSdMm)
{
    private readonly double[] slopes = [.. Enumerable.Range(0, back.Count).Select(i => i == back.IndexOf(trend.Series.Metric) ? -1 : 0)];

    public override double[] SlopesOn(DateOnly day) => slopes;

    public override Band RoomOn(DateOnly day)
    {
        var value = On(day).Value;
        return new Band(Limits.OutBelow - value, Limits.OutAbove - value);
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
    : MovingPath(key, limits, evidenceOn, MeasureFacts.TreeSd(key.Measure, policy.TreeMeasureSdMm))
{
    private readonly Dictionary<DateOnly, (FindingNumbers Numbers, LaidNumbers Laid)> found = [];

    public override double[] SlopesOn(DateOnly day) => FoundOn(day).Laid.Slopes;

    public override FindingNumbers On(DateOnly day) => FoundOn(day).Numbers;

    // As far out on the straight line as leaves the finding the very probability it has of being out: bridging and rocking are not straight.
    public override Band RoomOn(DateOnly day)
    {
        var (numbers, laid) = FoundOn(day);
        var sd = Math.Sqrt(laid.Variance + (TreeSd * TreeSd));
        return new Band(Place(numbers.ProbabilityLow), -Place(numbers.ProbabilityHigh));

        double Place(double probability) =>
            probability <= 0 ? double.NegativeInfinity : probability >= 1 ? double.PositiveInfinity : sd * Normal.Quantile(probability);
    }

    private (FindingNumbers Numbers, LaidNumbers Laid) FoundOn(DateOnly day)
    {
        if (!found.TryGetValue(day, out var known))
            found.Add(day, known = Find(day));
        return known;
    }

    private (FindingNumbers Numbers, LaidNumbers Laid) Find(DateOnly day)
    {
        var laid = forecast.On(day, index);
        var numbers = forecast.DrawnOn(day, index) is { } drawn ? Drawn(drawn) : Straight(laid);
        var probabilityOut = policy.WithSurprise(numbers.ProbabilityLow + numbers.ProbabilityHigh, back.LastOn, day);
        // Said is what the saddle does on the expected back; how likely it is out counts every back that may be.
        return (numbers with { Value = laid.Value, ProbabilityOut = probabilityOut }, laid);
    }

    private FindingNumbers Straight(in LaidNumbers laid) =>
        Numbers(laid.Value + laid.Shift, Math.Sqrt(laid.Variance + laid.BendVariance + (TreeSd * TreeSd)));

    private FindingNumbers Drawn(DrawnVariable drawn)
    {
        var (low, high) = (1 - drawn.ProbabilityAbove(Limits.OutBelow, TreeSd), drawn.ProbabilityAbove(Limits.OutAbove, TreeSd));
        return new FindingNumbers(drawn.Mean, double.Hypot(drawn.Sd, TreeSd), low, high, low + high);
    }
}
