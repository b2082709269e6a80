using BackTracker.Engine.Numerics;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Priors;

/// <summary>A reading that was held back, as each point of the grid forecast it.</summary>
/// <param name="Likelihood">Likelihood of the sessions before at each point, up to a factor.</param>
/// <param name="Means">Expected reading at each point.</param>
/// <param name="Sds">Its standard deviation at each point.</param>
/// <param name="Reading">The reading.</param>
internal sealed record HeldForecast(double[] Likelihood, double[] Means, double[] Sds, double Reading)
{
    /// <summary>Log density of the reading and the probability of one at or below it, under a prior.</summary>
    public (double LogDensity, double Pit) Under(IReadOnlyList<double> prior)
    {
        double total = 0, density = 0, below = 0;
        for (var i = 0; i < Means.Length; i++)
        {
            var weight = prior[i] * Likelihood[i];
            var off = (Reading - Means[i]) / Sds[i];
            total += weight;
            density += weight * Normal.Density(off) / Sds[i];
            below += weight * Normal.Cdf(off);
        }
        return (Math.Log(Math.Max(density / total, double.Epsilon)), below / total);
    }
}

/// <summary>What a series says of its dynamics, whatever the prior, and what it held back to judge a prior by.</summary>
/// <param name="Horse">Number of the horse, so that its series can be told to belong together; no name.</param>
/// <param name="Key">What its prior is for.</param>
/// <param name="Likelihood">Likelihood at each point of the grid, up to a factor.</param>
/// <param name="Held">Readings held back.</param>
internal sealed record SeriesEvidence(int Horse, PriorKey Key, double[] Likelihood, IReadOnlyList<HeldForecast> Held)
{
    // Sessions a forecast must know, days it looks ahead at most, and forecasts a series: our choice.
    private const int LeastKnown = 4;
    private const int LongestDays = 84;
    private const int MostForecasts = 4;

    /// <summary>Runs the filter over a series at every point of the grid.</summary>
    /// <param name="horse">Number of the horse.</param>
    /// <param name="series">The series.</param>
    /// <param name="flat">The model without a prior (<see cref="TrendModel.WithoutPrior"/>).</param>
    public static SeriesEvidence Of(int horse, MetricSeries series, TrendModel flat)
    {
        var key = new PriorKey(series.Class, series.Metric.Quantity, series.Context);
        return new SeriesEvidence(horse, key, Weights(MetricTrend.Fit(series, flat)), [.. Origins(series.Points).Select(known => HoldBack(series, known, flat))]);
    }

    private static HeldForecast HoldBack(MetricSeries series, int known, TrendModel flat)
    {
        var trend = MetricTrend.Fit(series with { Points = [.. series.Points.Take(known)] }, flat);
        var later = series.Points[Last(series.Points, known)];
        var readings = trend.ReadingsOn(later);
        return new HeldForecast(Weights(trend), [.. readings.Select(one => one.Mean)], [.. readings.Select(one => Math.Sqrt(one.Var))], later.Mean);
    }

    private static double[] Weights(MetricTrend trend) => [.. trend.Posterior.States.Select(state => state.Weight)];

    /// <summary>Numbers of sessions known, evenly spread, from which there is something to forecast within reach.</summary>
    private static IEnumerable<int> Origins(IReadOnlyList<SeriesPoint> points)
    {
        int[] known = [.. Enumerable.Range(LeastKnown, Math.Max(0, points.Count - LeastKnown)).Where(count => Last(points, count) >= count)];
        var step = Math.Max(1, (known.Length + MostForecasts - 1) / MostForecasts);
        return known.Where((_, place) => place % step == 0);
    }

    /// <summary>The last session within reach of the last one known, not of the same day; that one itself where there is none.</summary>
    private static int Last(IReadOnlyList<SeriesPoint> points, int known)
    {
        var (from, last) = (points[known - 1].On.DayNumber, known - 1);
        for (var i = known; i < points.Count && points[i].On.DayNumber <= from + LongestDays; i++)
            last = points[i].On.DayNumber > from ? i : last;
        return last;
    }
}
