using BackTracker.Engine.Assessments;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Measurements;

namespace BackTracker.Service.Features.Trends;

/// <summary>A session in a trend.</summary>
/// <param name="Day">Its day.</param>
/// <param name="Value">Mean of its repeats.</param>
/// <param name="Se">Standard error, the session part counted in.</param>
/// <param name="OutlierProbability">Probability that it is an outlier.</param>
/// <param name="StepProbability">Probability that the level stepped here.</param>
/// <param name="KinkProbability">Probability that the pace changed since the session before.</param>
public sealed record TrendPointAnswer(DateOnly Day, double Value, double Se, double OutlierProbability, double StepProbability, double KinkProbability);

/// <summary>The smoothed level on a day, for drawing.</summary>
/// <param name="Day">The day.</param>
/// <param name="Level">The level.</param>
/// <param name="Se">Its standard error.</param>
public sealed record SmoothedAnswer(DateOnly Day, double Level, double Se);

/// <summary>The forecast of a day.</summary>
/// <param name="Day">The day.</param>
/// <param name="DaysAhead">Days after the day known.</param>
/// <param name="Level">Expected level, season included.</param>
/// <param name="Sd">Its standard deviation.</param>
/// <param name="Band50">Low and high end of the band that holds it with 50 %.</param>
/// <param name="Band80">The same for 80 %.</param>
/// <param name="Band95">The same for 95 %.</param>
public sealed record ForecastAnswer(DateOnly Day, int DaysAhead, double Level, double Sd, IReadOnlyList<double> Band50, IReadOnlyList<double> Band80, IReadOnlyList<double> Band95)
{
    public static ForecastAnswer Of(MetricTrend trend, DateOnly from, int daysAhead)
    {
        var level = trend.On(from.AddDays(daysAhead));
        return new(from.AddDays(daysAhead), daysAhead, level.Mean, level.Sd, Band(level, .5), Band(level, .8), Band(level, .95));
    }

    private static double[] Band(LevelForecast level, double cover) => [level.Quantile((1 - cover) / 2), level.Quantile((1 + cover) / 2)];
}

/// <summary>A value measured after work: shown, never trended.</summary>
/// <param name="Day">Its day.</param>
/// <param name="Value">Mean of its repeats.</param>
public sealed record AfterWorkAnswer(DateOnly Day, double Value);

/// <summary>The trend of a metric.</summary>
/// <param name="Metric">For example T13.width150.</param>
/// <param name="Unit">Unit of the levels.</param>
/// <param name="Direction">Which way it goes.</param>
/// <param name="Text">In words.</param>
/// <param name="Level">Expected level on the day known.</param>
/// <param name="LevelSe">Its standard error.</param>
/// <param name="SlopePer28Days">Expected change in 28 days at the pace of the last session.</param>
/// <param name="SlopeSe">Its standard error.</param>
/// <param name="ProbabilityRising">Probability that it is growing.</param>
/// <param name="LeastRealChange">Least change between two sessions that is more than noise.</param>
/// <param name="Points">The sessions.</param>
/// <param name="AfterWork">Values measured after work.</param>
/// <param name="Smoothed">Smoothed levels at the sessions, for drawing; decisions use the forecast.</param>
/// <param name="Forecast">Every day ahead.</param>
public sealed record TrendAnswer(
    string Metric, string Unit, Direction Direction, string Text, double Level, double LevelSe, double SlopePer28Days, double SlopeSe,
    double ProbabilityRising, double LeastRealChange, IReadOnlyList<TrendPointAnswer> Points, IReadOnlyList<AfterWorkAnswer> AfterWork,
    IReadOnlyList<SmoothedAnswer> Smoothed, IReadOnlyList<ForecastAnswer> Forecast)
{
    public static TrendAnswer Of(MetricTrend trend, HorseFacts facts, DateOnly day, int horizonDays)
    {
        var metric = trend.Series.Metric;
        var now = trend.On(day);
        return new(
            metric.ToString(), metric.Unit, TrendDocument.DirectionOf(trend.Direction), Say(trend), now.Mean, now.Sd,
            trend.Rate.PerDay * 28, trend.Rate.StandardError * 28, trend.Rate.ProbabilityRising, trend.LeastRealChange,
            [.. trend.Points.Select(p => new TrendPointAnswer(p.On, p.Value, p.StandardError, p.OutlierProbability, p.StepProbability, p.KinkProbability))],
            AfterWorkOf(facts, metric),
            [.. trend.Smoothed.Select(s => new SmoothedAnswer(s.On, s.Level, s.StandardError))],
            [.. Enumerable.Range(1, horizonDays).Select(ahead => ForecastAnswer.Of(trend, day, ahead))]);
    }

    private static List<AfterWorkAnswer> AfterWorkOf(HorseFacts facts, Engine.Measures.Metric metric) =>
    [
        .. facts.Sessions.Where(s => s.Exercise == ExerciseState.After)
            .Select(s => (s.On, Values: s.Readings.Where(r => r.Metric == metric).Select(r => r.Value).ToArray()))
            .Where(s => s.Values.Length > 0)
            .OrderBy(s => s.On)
            .Select(s => new AfterWorkAnswer(s.On, s.Values.Average())),
    ];

    private static string Say(MetricTrend trend)
    {
        var change = MetricWords.Change(trend.Series.Metric, Math.Abs(trend.Rate.PerDay * 28));
        return trend.Direction switch
        {
            TrendDirection.Rising => $"Growing by about {change} in four weeks.",
            TrendDirection.Falling => $"Shrinking by about {change} in four weeks.",
            TrendDirection.Steady => "Steady: it moves less in twelve weeks than two measurements can tell apart.",
            _ => "No trend yet.",
        };
    }
}

/// <summary>The trends of a horse.</summary>
/// <param name="AsOf">The day known.</param>
/// <param name="ModelVersion">Version of the trend model and its priors (`GET /v1/priors`).</param>
/// <param name="Items">One a metric.</param>
/// <param name="Muscle">What widths and fill do beside weight and condition.</param>
public sealed record TrendsAnswer(DateOnly AsOf, string ModelVersion, IReadOnlyList<TrendAnswer> Items, MuscleAnswer Muscle);
