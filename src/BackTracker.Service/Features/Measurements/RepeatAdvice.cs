using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Names the repeat that lies further from the others than the method's own scatter explains.</summary>
internal static class RepeatAdvice
{
    private const double LargestDeviations = 3;
    private static readonly double Sqrt2 = Math.Sqrt(2);

    public static IEnumerable<Advice> Of(SessionFact session) => MeasurementAdvice.WithoutEchoes(
    [
        .. from metric in session.Readings.GroupBy(r => r.Metric, r => r.Value)
           let text = Text(metric.Key, [.. metric])
           where text is not null
           select (metric.Key, Advice.About(metric.Key, "repeat-disagrees", text)),
    ]);

    private static string? Text(Metric metric, double[] values) => values switch
    {
        [_] => null,
        [var first, var second] => OfTwo(metric, first, second),
        _ => OfMany(metric, values),
    };

    private static string? OfTwo(Metric metric, double first, double second)
    {
        var limit = LargestDeviations * Sqrt2 * metric.StartingSessionSd;
        return Math.Abs(first - second) <= limit ? null :
            $"The two repeats of {MetricWords.Name(metric)} are {MetricWords.Amount(metric, first)} and {MetricWords.Amount(metric, second)}; good ones differ by less than {MetricWords.Amount(metric, limit)}: take it again now.";
    }

    // Only the furthest is named: a bad repeat pulls the mean that the good ones are held against, and would have them named too.
    private static string? OfMany(Metric metric, double[] values)
    {
        var furthest = values.MaxBy(v => Math.Abs(v - MeanOfOthers(values, v)));
        var others = MeanOfOthers(values, furthest);
        return Math.Abs(furthest - others) <= LargestDeviations * metric.StartingSessionSd ? null :
            $"One repeat of {MetricWords.Name(metric)} is {MetricWords.Amount(metric, furthest)}, the others are {MetricWords.Amount(metric, others)} on average: take it again now.";
    }

    private static double MeanOfOthers(double[] values, double one) => (values.Sum() - one) / (values.Length - 1);
}
