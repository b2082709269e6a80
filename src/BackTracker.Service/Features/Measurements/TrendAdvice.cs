using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Holds a session against what the trend of each metric leads one to expect on its day.</summary>
internal static class TrendAdvice
{
    private const double LargestDeviations = 3;

    /// <param name="session">The session.</param>
    /// <param name="judged">What is judged of it.</param>
    /// <param name="known">The trends of the sessions before it.</param>
    public static IEnumerable<Advice> Of(SessionFact session, List<Repeats> judged, RunningTrends known)
    {
        // After work a back is wider than its trend for a reason that is known.
        if (session.Exercise == ExerciseState.After)
            return [];
        var found = new List<Finding>();
        foreach (var (metric, values) in judged)
            if (known.TryExpect(metric, session.On, out var expected) && Judge(metric, expected, values.Average()) is { } finding)
                found.Add(finding);
        return MeasurementAdvice.WithoutEchoes(found);
    }

    private static Finding? Judge(Metric metric, Expectation expected, double value)
    {
        var sd = double.Hypot(expected.LevelSd, expected.SessionSd);
        var timesTheLimit = Math.Abs(value - expected.Level) / (LargestDeviations * sd);
        return timesTheLimit <= 1 ? null : new Finding(
            metric, "unexpected",
            $"{MetricWords.Statement(metric, value)}, {MetricWords.Amount(metric, Math.Abs(value - expected.Level))} {(value > expected.Level ? "more" : "less")} than the trend leads one to expect ({MetricWords.Amount(metric, expected.Level)} give or take {MetricWords.Number(metric, sd)}). Take it again now, with the horse square.",
            timesTheLimit);
    }
}
