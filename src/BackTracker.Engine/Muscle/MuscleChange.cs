using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Muscle;

/// <summary>Which way a profile goes once weight and condition are taken out.</summary>
public enum MuscleDirection
{
    /// <summary>Weight could not be taken out: whatever the profile does may be weight.</summary>
    NotSeparated,

    /// <summary>It fills out: the 80 % interval of its rate lies above zero.</summary>
    Gaining,

    /// <summary>Known to move less in twelve weeks than the least real change.</summary>
    Holding,

    /// <summary>It hollows: the 80 % interval of its rate lies below zero.</summary>
    Losing,

    /// <summary>Not enough is known to say.</summary>
    Unclear,
}

/// <summary>Why weight could not be taken out.</summary>
public enum WeightGap
{
    /// <summary>It could.</summary>
    None,

    /// <summary>How the measure goes with weight was not learned yet.</summary>
    NotLearned,

    /// <summary>The horse was weighed too seldom, or not lately.</summary>
    NotWeighed,
}

/// <summary>The rate of what is left of a profile without weight and condition.</summary>
/// <param name="PerFourWeeks">Expected change in four weeks, in the measure's unit.</param>
/// <param name="PerFourWeeksSe">Its standard error, that of the share of weight counted in.</param>
/// <param name="WithWeightPerFourWeeks">Change in four weeks that goes with weight and condition, in the measure's unit.</param>
/// <param name="ProbabilityGaining">Probability that the rest is growing.</param>
/// <param name="Basis">By what weight was taken out.</param>
public sealed record RemainderRate(double PerFourWeeks, double PerFourWeeksSe, double WithWeightPerFourWeeks, double ProbabilityGaining, WeightBasis Basis);

/// <summary>What a measure of the back does beside weight and condition. It is a change of profile; that it is muscle is the likely reading and no more.</summary>
/// <param name="Metric">The measure.</param>
/// <param name="Profile">Which way the measure itself goes.</param>
/// <param name="Direction">Which way it goes without weight and condition.</param>
/// <param name="Gap">Why weight could not be taken out.</param>
/// <param name="Rate">The numbers; null where weight could not be taken out.</param>
public sealed record MuscleChange(Metric Metric, TrendDirection Profile, MuscleDirection Direction, WeightGap Gap, RemainderRate? Rate)
{
    /// <summary>The side; null for both together.</summary>
    public Side? Side => Metric.Quantity switch
    {
        Quantity.HalfLeft or Quantity.FillLeft => Assessments.Side.Left,
        Quantity.HalfRight or Quantity.FillRight => Assessments.Side.Right,
        _ => null,
    };
}

/// <summary>Tells muscle from weight, station by station and side by side.</summary>
public sealed class MuscleChanges
{
    private const int FourWeeks = 28;
    private const int LeastSessions = 3;

    // Sessions of the back count where the weight was known within four weeks: our choice.
    private const int ReachDays = 28;

    private readonly HorseTrends trends;
    private readonly TrendModel model;
    private readonly Dictionary<Metric, MetricTrend> covariates = [];

    private MuscleChanges(HorseTrends trends)
    {
        (this.trends, model) = (trends, trends.Model);
        foreach (var metric in new[] { new Metric(Quantity.Weight), new Metric(Quantity.ConditionScore1to9) })
        {
            if (trends.TryGet(metric, out var trend) && trend.Points.Count >= LeastSessions)
                covariates.Add(metric, trend);
        }
    }

    /// <summary>Every measure from which weight can be told apart, front to rear; where sides are known, side by side and not both together.</summary>
    /// <param name="trends">Trends of the horse as of the day asked.</param>
    public static IReadOnlyList<MuscleChange> Of(HorseTrends trends)
    {
        ArgumentNullException.ThrowIfNull(trends);
        var changes = new MuscleChanges(trends);
        var measured = SeriesBuilder.Trended(trends.Facts).SelectMany(session => session.Readings).Select(reading => reading.Metric).Where(WeighedSessions.IsSeparated).ToHashSet();
        return
        [
            .. measured.Where(metric => !IsToldBySides(metric, measured))
                .OrderBy(metric => metric.Station).ThenBy(metric => metric.Quantity)
                .Select(changes.Of),
        ];
    }

    private static bool IsToldBySides(Metric metric, HashSet<Metric> measured) => metric.Quantity switch
    {
        Quantity.Width => measured.Contains(metric with { Quantity = Quantity.HalfLeft }),
        Quantity.Fill => measured.Contains(metric with { Quantity = Quantity.FillLeft }),
        _ => false,
    };

    private MuscleChange Of(Metric metric)
    {
        if (!trends.TryGet(metric, out var trend))
            throw new InvalidOperationException($"{metric} was measured and has no trend.");
        var shares = model.Learned.WeightShares.Where(share => share.Metric == metric).OrderByDescending(share => share.Basis).ToArray();
        if (shares.Length == 0)
            return new MuscleChange(metric, trend.Direction, MuscleDirection.NotSeparated, WeightGap.NotLearned, null);
        foreach (var share in shares)
        {
            var used = Covariates(share.Basis);
            if (used.All(covariate => IsKnown(covariate, trend)))
                return Without(trend, share, used);
        }
        return new MuscleChange(metric, trend.Direction, MuscleDirection.NotSeparated, WeightGap.NotWeighed, null);
    }

    private MetricTrend?[] Covariates(WeightBasis basis)
    {
        var weight = covariates.GetValueOrDefault(new Metric(Quantity.Weight));
        return basis == WeightBasis.Weight ? [weight] : [weight, covariates.GetValueOrDefault(new Metric(Quantity.ConditionScore1to9))];
    }

    private static bool IsKnown(MetricTrend? covariate, MetricTrend trend) =>
        covariate is not null && covariate.Points[^1].On.AddDays(ReachDays) >= trend.Points[^1].On && Within(trend, [covariate]).Count >= LeastSessions;

    private static List<SeriesPoint> Within(MetricTrend trend, MetricTrend?[] used) =>
        [.. trend.Series.Points.Where(point => used.All(covariate => point.On.AddDays(ReachDays) >= covariate!.Points[0].On && point.On <= covariate.Points[^1].On.AddDays(ReachDays)))];

    private static MuscleChange Without(MetricTrend trend, WeightShare share, MetricTrend?[] used)
    {
        var points = Within(trend, used);
        var kg = used[0]!.LevelsOn([.. points.Select(point => point.On)]);
        var score = used.Length > 1 ? used[1]!.LevelsOn([.. points.Select(point => point.On)]) : null;
        var rest = MetricTrend.Fit(trend.Series with { Points = [.. points.Select((point, i) => Rest(point, share, kg[0], kg[i], score?[0], score?[i]))] }, trend.Model);
        var (kgPerDay, pointsPerDay) = (used[0]!.Rate.PerDay, used.Length > 1 ? used[1]!.Rate.PerDay : 0);
        var se = Math.Sqrt((rest.Rate.StandardError * rest.Rate.StandardError) + share.VarOf(kgPerDay, pointsPerDay));
        var rate = new RemainderRate(
            FourWeeks * rest.Rate.PerDay, FourWeeks * se, FourWeeks * share.Of(kgPerDay, pointsPerDay), Normal.Cdf(rest.Rate.PerDay / se), share.Basis);
        return new MuscleChange(trend.Series.Metric, trend.Direction, DirectionOf(points.Count, rest.Rate.PerDay, se, trend.LeastRealChange), WeightGap.None, rate);
    }

    private static SeriesPoint Rest(SeriesPoint point, WeightShare share, LevelForecast kgFirst, LevelForecast kg, LevelForecast? scoreFirst, LevelForecast? score)
    {
        var off = share.Of(kg.Mean - kgFirst.Mean, score is null ? 0 : score.Mean - scoreFirst!.Mean);
        var errorVar = Squared(share.PerKg * kg.Sd) + (score is null ? 0 : Squared(share.PerPoint * score.Sd));
        return point with { Mean = point.Mean - off, RepeatSd = Math.Sqrt(point.Repeats * (point.RepeatVar + errorVar)) };
    }

    private static MuscleDirection DirectionOf(int sessions, double perDay, double se, double leastRealChange)
    {
        var (low, high) = (perDay - (Normal.Quantile90 * se), perDay + (Normal.Quantile90 * se));
        return sessions switch
        {
            < LeastSessions => MuscleDirection.Unclear,
            _ when low > 0 => MuscleDirection.Gaining,
            _ when high < 0 => MuscleDirection.Losing,
            _ when MetricTrend.SteadyDays * Math.Max(-low, high) < leastRealChange => MuscleDirection.Holding,
            _ => MuscleDirection.Unclear,
        };
    }

    private static double Squared(double value) => value * value;
}
