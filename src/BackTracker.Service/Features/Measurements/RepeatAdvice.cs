using BackTracker.Engine.Measures;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Names the repeat that lies further from the others than the method's own scatter explains.</summary>
internal static class RepeatAdvice
{
    private const double LargestDeviations = 3;
    private static readonly double Sqrt2 = Math.Sqrt(2);

    public static IEnumerable<Advice> Of(List<Repeats> judged)
    {
        var found = new List<Finding>();
        foreach (var (metric, values) in judged)
            if (Judge(metric, values) is { } finding)
                found.Add(finding);
        return MeasurementAdvice.WithoutEchoes(found);
    }

    private static Finding? Judge(Metric metric, List<double> values) => values switch
    {
        [_] => null,
        [var first, var second] => OfTwo(metric, first, second),
        _ => OfMany(metric, values),
    };

    private static Finding? OfTwo(Metric metric, double first, double second)
    {
        var limit = LargestDeviations * Sqrt2 * metric.StartingSessionSd;
        return Math.Abs(first - second) <= limit ? null : Found(metric, Math.Abs(first - second) / limit,
            $"The two repeats of {MetricWords.Name(metric)} are {MetricWords.Amount(metric, first)} and {MetricWords.Amount(metric, second)}; good ones differ by less than {MetricWords.Amount(metric, limit)}: take it again now.");
    }

    // Only the furthest is named: a bad repeat pulls the mean that the good ones are held against, and would have them named too.
    private static Finding? OfMany(Metric metric, List<double> values)
    {
        var furthest = values.MaxBy(v => Math.Abs(v - MeanOfOthers(values, v)));
        var others = MeanOfOthers(values, furthest);
        return Found(metric, Math.Abs(furthest - others) / (LargestDeviations * metric.StartingSessionSd),
            $"One repeat of {MetricWords.Name(metric)} is {MetricWords.Amount(metric, furthest)}, the others are {MetricWords.Amount(metric, others)} on average: take it again now.");
    }

    private static Finding? Found(Metric metric, double timesTheLimit, string text) =>
        timesTheLimit > 1 ? new Finding(metric, "repeat-disagrees", text, timesTheLimit) : null;

    private static double MeanOfOthers(List<double> values, double one) => (values.Sum() - one) / (values.Count - 1);
}
