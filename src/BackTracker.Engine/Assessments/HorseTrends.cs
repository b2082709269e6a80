using System.Diagnostics.CodeAnalysis;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Sections;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Assessments;

/// <summary>
/// The trends of one horse, each fitted once when it is first asked for. They depend on the facts alone, never on the day asked, so that
/// asking again with the same facts gives the same numbers. For one thread.
/// </summary>
/// <param name="facts">Facts as of the day asked (<see cref="HorseFactsAsOf.AsOf"/>).</param>
/// <param name="model">Trend model and its priors.</param>
public sealed class HorseTrends(HorseFacts facts, TrendModel model)
{
    private readonly Dictionary<Metric, MetricTrend?> _fitted = [];

    private BackTrends? _back;
    private IReadOnlyList<Metric>? _measuredWidths;

    /// <summary>The numbers the trends go by.</summary>
    public TrendModel Model => model;

    /// <summary>The facts the trends rest on.</summary>
    public HorseFacts Facts => facts;

    /// <summary>Every width that some session before work holds, by station and depth.</summary>
    public IReadOnlyList<Metric> MeasuredWidths => _measuredWidths ??= SeriesBuilder.WidthsOf(facts);

    /// <summary>The trends of the back's sections.</summary>
    public BackTrends Back => _back ??= new BackTrends(this);

    /// <summary>The trend of <paramref name="metric"/>; false where no session holds a value of it.</summary>
    public bool TryGet(Metric metric, [NotNullWhen(true)] out MetricTrend? trend)
    {
        if (!_fitted.TryGetValue(metric, out trend))
        {
            var series = SeriesBuilder.Build(facts, metric);
            trend = series.Points.Count > 0 ? MetricTrend.Fit(series, model) : null;
            _fitted.Add(metric, trend);
        }
        return trend is not null;
    }

    /// <summary>A summary of every measured width on <paramref name="day"/>, by station and depth.</summary>
    public IReadOnlyList<TrendSummary> Widths(DateOnly day)
    {
        var summaries = new List<TrendSummary>();
        foreach (var metric in MeasuredWidths)
        {
            if (TryGet(metric, out var trend))
                summaries.Add(Summary(trend, day));
        }
        return summaries;
    }

    private static TrendSummary Summary(MetricTrend trend, DateOnly day)
    {
        var level = trend.On(day);
        var points = trend.Series.Points;
        return new TrendSummary(
            trend.Series.Metric, trend.Series.Metric.Unit, trend.Direction,
            trend.Rate.PerDay * 28, trend.Rate.StandardError * 28, trend.Rate.ProbabilityRising,
            level.Mean, level.Sd, trend.LeastRealChange, points.Count, points[^1].On);
    }
}
