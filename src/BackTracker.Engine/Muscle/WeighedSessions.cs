using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Muscle;

/// <summary>One session in which a measure of the back was read beside the weight.</summary>
/// <param name="Value">The measure, in its unit.</param>
/// <param name="Kg">The weight, kg.</param>
/// <param name="Points">The condition score; NaN where it was not scored.</param>
internal readonly record struct WeighedReading(double Value, double Kg, double Points);

/// <summary>Sessions of a horse in which its back was measured and it was weighed.</summary>
internal static class WeighedSessions
{
    /// <summary>Measures from which weight is told apart: widths and halves 150 mm down, and muscle fill.</summary>
    public static bool IsSeparated(Metric metric) => metric.Quantity switch
    {
        Quantity.Width or Quantity.HalfLeft or Quantity.HalfRight => metric.DepthMm == Fit.WidthFit.DepthMm,
        Quantity.Fill or Quantity.FillLeft or Quantity.FillRight => true,
        _ => false,
    };

    /// <summary>Such sessions before work, by measure.</summary>
    public static IEnumerable<(Metric Metric, WeighedReading[] Readings)> Of(HorseFacts facts) =>
        from session in SeriesBuilder.Trended(facts)
        let means = session.Readings.GroupBy(reading => reading.Metric).ToDictionary(own => own.Key, own => own.Average(reading => reading.Value))
        where means.ContainsKey(new Metric(Quantity.Weight))
        from own in means
        where IsSeparated(own.Key)
        let reading = new WeighedReading(own.Value, means[new Metric(Quantity.Weight)], means.GetValueOrDefault(new Metric(Quantity.ConditionScore1to9), double.NaN))
        group reading by own.Key into readings
        select (readings.Key, readings.ToArray());
}
