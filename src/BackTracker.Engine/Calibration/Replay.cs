using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Calibration;

/// <summary>
/// Makes every forecast of a horse's past again, from what was known on the day, by the very trends that are used today, and holds it against what was
/// measured afterwards.
/// </summary>
public static class Replay
{
    /// <summary>Sessions a forecast must know, as many as a trend needs to be named: with fewer it is little but the prior.</summary>
    public const int LeastSessions = 3;

    /// <summary>Most days ahead.</summary>
    public const int LongestDays = 182;

    /// <summary>Scores of one horse, worked out as they are read: metric by metric for each day on which sessions were known.</summary>
    /// <param name="facts">Facts of the horse as of today.</param>
    /// <param name="model">The model.</param>
    public static IEnumerable<ForecastScore> Of(HorseFacts facts, TrendModel model)
    {
        ArgumentNullException.ThrowIfNull(facts);
        MetricSeries[] measured = [.. MetricsOf(facts).Select(metric => SeriesBuilder.Build(facts, metric)).Where(series => series.Points.Count > LeastSessions)];
        foreach (var day in measured.SelectMany(series => series.Points).Select(point => point.On).Distinct().Order())
        {
            var known = new HorseTrends(facts.AsOf(day), model);
            foreach (var score in measured.SelectMany(series => From(day, known, series)))
                yield return score;
        }
    }

    private static IEnumerable<Metric> MetricsOf(HorseFacts facts) =>
        SeriesBuilder.Trended(facts).SelectMany(session => session.Readings).Select(reading => reading.Metric).Distinct()
            .OrderBy(metric => metric.Quantity).ThenBy(metric => metric.Station).ThenBy(metric => metric.DepthMm);

    private static IEnumerable<ForecastScore> From(DateOnly day, HorseTrends known, MetricSeries measured)
    {
        var (metric, points) = (measured.Metric, measured.Points);
        var count = points.Count(point => point.On <= day);
        SeriesPoint[] later = [.. points.Where(point => point.On > day && point.On.DayNumber - day.DayNumber <= LongestDays)];
        if (count < LeastSessions || later.Length == 0 || points[count - 1].On != day || !known.TryGet(metric, out var trend))
            yield break;
        var others = new PlainForecasts(trend.Series.Points);
        var (ahead, before) = (0, day);
        foreach (var point in later)
        {
            (ahead, before) = (point.On > before ? ahead + 1 : ahead, point.On);
            var reading = trend.ReadingOn(point);
            yield return new ForecastScore(
                metric, day, point.On, ahead, reading.Cdf(point.Mean), others.On(point.On, reading.Mean).Each(forecast => forecast - point.Mean));
        }
    }
}

/// <summary>What anybody could say from the same sessions, without a model.</summary>
internal sealed class PlainForecasts
{
    private readonly double last;
    private readonly double medianOfThree;
    private readonly DateOnly first;
    private readonly double start;
    private readonly double slope;

    /// <param name="points">At least three sessions in order of day.</param>
    public PlainForecasts(IReadOnlyList<SeriesPoint> points)
    {
        (last, first) = (points[^1].Mean, points[0].On);
        medianOfThree = points.TakeLast(3).Select(point => point.Mean).Order().ElementAt(1);
        double[] days = [.. points.Select(DaysOf)];
        var (day, value) = (days.Average(), points.Average(point => point.Mean));
        var spread = days.Sum(at => (at - day) * (at - day));
        slope = spread > 0 ? points.Sum(point => (DaysOf(point) - day) * (point.Mean - value)) / spread : 0;
        start = value - (slope * day);
    }

    /// <summary>The forecasts of a day beside that of the model.</summary>
    public ForecastErrors On(DateOnly day, double model) => new(model, last, medianOfThree, start + (slope * (day.DayNumber - first.DayNumber)));

    private double DaysOf(SeriesPoint point) => point.On.DayNumber - first.DayNumber;
}
