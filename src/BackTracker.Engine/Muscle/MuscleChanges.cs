using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Muscle;

/// <summary>Tells muscle from weight, station by station and side by side.</summary>
public sealed class MuscleChanges
{
    private const int FourWeeks = 28;
    private const int LeastSessions = 3;

    // Sessions of the back count where the weight was known within four weeks: our choice.
    private const int ReachDays = 28;

    private static readonly Metric Weight = new(Quantity.Weight);
    private static readonly Metric Condition = new(Quantity.ConditionScore1to9);

    private readonly HorseTrends trends;
    private readonly TrendModel model;
    private readonly Dictionary<Metric, Covariate> covariates = [];

    private MuscleChanges(HorseTrends trends)
    {
        (this.trends, model) = (trends, trends.Model);
        if (model.Learned.WeightShares.Count == 0)
            return;
        DateOnly[] days = [.. SeriesBuilder.Trended(trends.Facts).Select(session => session.On).Distinct()];
        foreach (var metric in new[] { Weight, Condition })
        {
            if (trends.TryGet(metric, out var trend) && trend.Points.Count >= LeastSessions)
                covariates.Add(metric, new Covariate(trend, days));
        }
    }

    /// <summary>Every measure from which weight can be told apart, front to rear; where sides are known, side by side and not both together.</summary>
    /// <param name="trends">Trends of the horse as of the day asked.</param>
    public static IReadOnlyList<MuscleChange> Of(HorseTrends trends) => Of(trends, _ => true);

    /// <summary>The same of some measures.</summary>
    /// <param name="trends">Trends of the horse as of the day asked.</param>
    /// <param name="isAsked">Which measures.</param>
    public static IReadOnlyList<MuscleChange> Of(HorseTrends trends, Func<Metric, bool> isAsked)
    {
        ArgumentNullException.ThrowIfNull(trends);
        var changes = new MuscleChanges(trends);
        var measured = SeriesBuilder.Trended(trends.Facts).SelectMany(session => session.Readings).Select(reading => reading.Metric).Where(WeighedSessions.IsSeparated).ToHashSet();
        return
        [
            .. measured.Where(metric => isAsked(metric) && !IsToldBySides(metric, measured))
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

    private Covariate?[] Covariates(WeightBasis basis)
    {
        var weight = covariates.GetValueOrDefault(Weight);
        return basis == WeightBasis.Weight ? [weight] : [weight, covariates.GetValueOrDefault(Condition)];
    }

    private static bool IsKnown(Covariate? covariate, MetricTrend trend) =>
        covariate is not null && covariate.Reaches(trend.Points[^1].On) && Within(trend, [covariate]).Count >= LeastSessions;

    private static List<SeriesPoint> Within(MetricTrend trend, Covariate?[] used) =>
        [.. trend.Series.Points.Where(point => used.All(covariate => covariate!.Reaches(point.On)))];

    private static MuscleChange Without(MetricTrend trend, WeightShare share, Covariate?[] used)
    {
        var (weight, condition) = (used[0]!, used.ElementAtOrDefault(1));
        var points = Within(trend, used);
        SeriesPoint[] left = [.. points.Select(point => Rest(point, points[0].On, share, weight, condition))];
        var rest = MetricTrend.Fit(trend.Series with { Points = left }, trend.Model);
        var (kgPerDay, pointsPerDay) = (weight.Trend.Rate.PerDay, condition?.Trend.Rate.PerDay ?? 0);
        var se = Math.Sqrt(Squared(rest.Rate.StandardError) + share.VarOf(kgPerDay, pointsPerDay));
        var rate = new RemainderRate(
            FourWeeks * rest.Rate.PerDay, FourWeeks * se, FourWeeks * share.Of(kgPerDay, pointsPerDay), Normal.Cdf(rest.Rate.PerDay / se), share.Basis);
        return new MuscleChange(trend.Series.Metric, trend.Direction, DirectionOf(points.Count, rest.Rate.PerDay, se, trend.LeastRealChange), WeightGap.None, rate);
    }

    private static SeriesPoint Rest(SeriesPoint point, DateOnly first, WeightShare share, Covariate weight, Covariate? condition)
    {
        var off = share.Of(weight.Since(first, point.On), condition?.Since(first, point.On) ?? 0);
        var errorVar = Squared(share.PerKg * weight.SdOn(point.On)) + Squared(share.PerPoint * (condition?.SdOn(point.On) ?? 0));
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

    /// <summary>Weight or condition on the days on which the back was measured, smoothed once for all measures.</summary>
    private sealed class Covariate(MetricTrend trend, DateOnly[] days)
    {
        private Dictionary<DateOnly, LevelForecast>? levels;

        public MetricTrend Trend => trend;

        /// <summary>Whether it was read within four weeks of a day, or before and after it.</summary>
        public bool Reaches(DateOnly day) => day.AddDays(ReachDays) >= trend.Points[0].On && day <= trend.Points[^1].On.AddDays(ReachDays);

        public double Since(DateOnly first, DateOnly day) => On(day).Mean - On(first).Mean;

        public double SdOn(DateOnly day) => On(day).Sd;

        private LevelForecast On(DateOnly day) => (levels ??= days.Zip(trend.LevelsOn(days)).ToDictionary(pair => pair.First, pair => pair.Second))[day];
    }
}
