using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Assessments;

/// <summary>How far one measure of a back went between two days.</summary>
/// <param name="Metric">What was measured.</param>
/// <param name="From">The earlier day.</param>
/// <param name="To">The later day.</param>
/// <param name="Change">Expected change, in the metric's unit.</param>
/// <param name="Sd">Its standard deviation, rather too large than too small.</param>
/// <param name="LeastRealChange">Least change between two sessions that is more than noise.</param>
public sealed record MovedMetric(Metric Metric, DateOnly From, DateOnly To, double Change, double Sd, double LeastRealChange)
{
    /// <summary>Half width of the 95 % interval of the change.</summary>
    public double PlusMinus => 1.96 * Sd;

    /// <summary>Whether it is more than noise: no less than the least real change, and beyond its own interval.</summary>
    public bool IsReal => Math.Abs(Change) >= Math.Max(LeastRealChange, PlusMinus);
}

/// <summary>What moved on a back between two days.</summary>
public static class BackMovement
{
    /// <summary>
    /// Widths, halves and angles of every station from front to rear, then the dip. What was not measured again after the earlier day is left
    /// out: a forecast alone is no movement. What was first measured later is told from then on.
    /// </summary>
    /// <param name="trends">Trends of the horse.</param>
    /// <param name="since">The earlier day.</param>
    /// <param name="on">The later day.</param>
    public static IReadOnlyList<MovedMetric> Since(HorseTrends trends, DateOnly since, DateOnly on)
    {
        var measured = SeriesBuilder.Trended(trends.Facts).SelectMany(session => session.Readings).Select(reading => reading.Metric).ToHashSet();
        return
        [
            .. measured.Where(metric => IsTold(metric, measured))
                .OrderBy(metric => metric.Station is null)
                .ThenBy(metric => metric.Station)
                .ThenBy(metric => metric.Quantity)
                .SelectMany(metric => Moved(trends, metric, since, on)),
        ];
    }

    private static bool IsTold(Metric metric, HashSet<Metric> measured) => metric.Quantity switch
    {
        Quantity.Width or Quantity.HalfLeft or Quantity.HalfRight => metric.DepthMm == WidthFit.DepthMm,
        Quantity.Angle => !measured.Contains(metric with { Quantity = Quantity.AngleLeft }),
        Quantity.AngleLeft or Quantity.AngleRight or Quantity.Dip => true,
        _ => false,
    };

    /// <summary>How far one metric went between two days; nothing where it was not measured again after the earlier one.</summary>
    internal static IEnumerable<MovedMetric> Moved(HorseTrends trends, Metric metric, DateOnly since, DateOnly on)
    {
        if (!trends.TryGet(metric, out var trend))
            yield break;
        var first = trend.Points[0].On;
        var from = first > since ? first : since;
        if (trend.Points[^1].On <= from)
            yield break;
        var (before, after) = (trend.On(from), trend.On(on));
        // Both levels lean on the same sessions, so that their difference is surer than this says.
        var sd = Math.Sqrt((before.Sd * before.Sd) + (after.Sd * after.Sd));
        yield return new MovedMetric(metric, from, on, after.Mean - before.Mean, sd, trend.LeastRealChange);
    }
}
