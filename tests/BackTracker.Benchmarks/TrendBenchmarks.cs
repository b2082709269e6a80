using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;
using BenchmarkDotNet.Attributes;

namespace BackTracker.Benchmarks;

/// <summary>What a fit costs: 50 sessions, the whole robust grid of 45, and six quantiles of forecasts. One thread.</summary>
[MemoryDiagnoser]
public class TrendBenchmarks
{
    private static readonly double[] Probabilities = [.1, .9, .025, .975, .5, .25];

    private readonly MetricSeries series = Series(50);
    private readonly MetricTrend fitted = MetricTrend.Fit(Series(50), TrendModel.Shipped);

    /// <summary>Fit and six quantiles eight weeks ahead.</summary>
    [Benchmark(Baseline = true)]
    public double FitWithSixQuantiles() => Quantiles(MetricTrend.Fit(series, TrendModel.Shipped));

    /// <summary>The fit alone (it holds the two quantiles of the rate).</summary>
    [Benchmark]
    public double Fit() => MetricTrend.Fit(series, TrendModel.Shipped).Rate.PerDay;

    /// <summary>Six quantiles of one forecast alone.</summary>
    [Benchmark]
    public double SixQuantiles() => Quantiles(fitted);

    /// <summary>The picture: smoothed level at every session.</summary>
    [Benchmark]
    public double Smoothed() => MetricTrend.Fit(series, TrendModel.Shipped).Smoothed[25].Level;

    /// <summary>A horse that widens and settles, measured every two to seven weeks, with one outlier; seeded.</summary>
    public static MetricSeries Series(int sessions)
    {
        var random = new Random(20260501);
        var (day, points) = (new DateOnly(2020, 1, 6), new List<SeriesPoint>());
        for (var i = 0; i < sessions; i++)
        {
            var value = 300 + 8 * (1 - Math.Exp(-i / 15.0)) + 4 * (random.NextDouble() + random.NextDouble() - 1) + (i == 30 ? 18 : 0);
            points.Add(new SeriesPoint(day, value, 1 + i % 3, i % 5 == 0 ? ExerciseState.Unknown : ExerciseState.Before, 2));
            day = day.AddDays(random.Next(14, 50));
        }
        return new MetricSeries(Metric.Width(Station.Of(13), 150), points, [points[20].On.AddDays(3)], PriorContext.EventsRecorded);
    }

    private static double Quantiles(MetricTrend trend)
    {
        var (forecast, sum) = (trend.On(trend.Series.Points[^1].On.AddDays(56)), 0.0);
        foreach (var probability in Probabilities)
            sum += forecast.Quantile(probability);
        return sum;
    }
}
