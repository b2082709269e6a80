using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Names the repeat that lies further from the others than the usual scatter of whoever measured explains.</summary>
internal static class RepeatAdvice
{
    private const double LargestDeviations = 3;
    private static readonly double Sqrt2 = Math.Sqrt(2);

    public static IEnumerable<Advice> Of(SessionFact session, List<Repeats> judged, MeasurementErrors errors)
    {
        var found = new List<Finding>();
        foreach (var (metric, values) in judged)
            if (Judge(metric, values, errors.RepeatSd(session, metric)) is { } finding)
                found.Add(finding);
        return MeasurementAdvice.WithoutEchoes(found);
    }

    private static Finding? Judge(Metric metric, List<double> values, double repeatSd) => values switch
    {
        [_] => null,
        [var first, var second] => OfTwo(metric, first, second, repeatSd),
        _ => OfMany(metric, values, repeatSd),
    };

    private static Finding? OfTwo(Metric metric, double first, double second, double repeatSd)
    {
        var limit = LargestDeviations * Sqrt2 * repeatSd;
        return Math.Abs(first - second) <= limit ? null : Found(metric, Math.Abs(first - second) / limit,
            $"The two repeats of {MetricWords.Name(metric)} are {MetricWords.Amount(metric, first)} and {MetricWords.Amount(metric, second)}; good ones differ by less than {MetricWords.Amount(metric, limit)}: take it again now.");
    }

    // Only the furthest is named: a bad repeat pulls the mean that the good ones are held against, and would have them named too.
    private static Finding? OfMany(Metric metric, List<double> values, double repeatSd)
    {
        var furthest = values.MaxBy(v => Math.Abs(v - MeanOfOthers(values, v)));
        var others = MeanOfOthers(values, furthest);
        return Found(metric, Math.Abs(furthest - others) / (LargestDeviations * repeatSd),
            $"One repeat of {MetricWords.Name(metric)} is {MetricWords.Amount(metric, furthest)}, the others are {MetricWords.Amount(metric, others)} on average: take it again now.");
    }

    private static Finding? Found(Metric metric, double timesTheLimit, string text) =>
        timesTheLimit > 1 ? new Finding(metric, "repeat-disagrees", text, timesTheLimit) : null;

    private static double MeanOfOthers(List<double> values, double one) => (values.Sum() - one) / (values.Count - 1);
}
