using BackTracker.Engine.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Holds a session against what the trend of each metric leads one to expect on its day.</summary>
internal static class TrendAdvice
{
    private const int FewestEarlierSessions = 1;
    private const double LargestDeviations = 3;

    public static IEnumerable<Advice> Of(SessionFact session, HorseFacts known)
    {
        // After work a back is wider than its trend for a reason that is known.
        if (session.Exercise == ExerciseState.After)
            return [];
        var before = known.AsOf(session.On);
        return MeasurementAdvice.WithoutEchoes(MeasurementAdvice.Judged(session)
            .Select(metric => Judge(SeriesBuilder.Build(before, metric.Key), session.On, metric.Average()))
            .OfType<Finding>());
    }

    private static Finding? Judge(MetricSeries series, DateOnly on, double value)
    {
        if (series.Points.Count < FewestEarlierSessions)
            return null;
        var trend = MetricTrend.Fit(series, TrendModel.Shipped);
        var expected = trend.On(on);
        var sd = double.Hypot(expected.Sd, SessionError(trend));
        var metric = series.Metric;
        var timesTheLimit = Math.Abs(value - expected.Mean) / (LargestDeviations * sd);
        return timesTheLimit <= 1 ? null : new Finding(
            metric, "unexpected",
            $"{MetricWords.Statement(metric, value)}, {MetricWords.Amount(metric, Math.Abs(value - expected.Mean))} {(value > expected.Mean ? "more" : "less")} than the trend leads one to expect ({MetricWords.Amount(metric, expected.Mean)} give or take {MetricWords.Number(metric, sd)}). Take it again now, with the horse square.",
            timesTheLimit);
    }

    // The least real change between two sessions is 1.96 sqrt(2) of the error of one, repeats and the part between sessions together.
    private static double SessionError(MetricTrend trend) => trend.LeastRealChange / (1.96 * Math.Sqrt(2));
}
