using System.Globalization;

namespace BackTracker.Engine.Measures;

/// <summary>Refuses values no horse has, above all those in the wrong unit. Ranges are wide on purpose: common practice, no source.</summary>
public static class Plausibility
{
    /// <summary>Lowest and highest plausible value of a metric, in its unit.</summary>
    public static (double Low, double High) RangeOf(Metric metric) => metric.Quantity switch
    {
        Quantity.Width => WidthsMm(metric.DepthMm ?? 20),
        Quantity.HalfLeft or Quantity.HalfRight => (WidthsMm(metric.DepthMm ?? 20).Narrow / 2, WidthsMm(metric.DepthMm ?? 20).Wide / 2),
        Quantity.ShapeRatio => (.1, 1.2),
        Quantity.Asymmetry => (-60, 60),
        Quantity.AngleLeft or Quantity.AngleRight or Quantity.Angle => (-20, 85),
        Quantity.FillLeft or Quantity.FillRight or Quantity.Fill => (-8000, 8000),
        Quantity.Dip => (0, 250),
        Quantity.SupportLength => (200, 900),
        Quantity.WithersHeight or Quantity.CroupHeight => (500, 2200),
        Quantity.Girth => (600, 2800),
        Quantity.BodyLength => (500, 2500),
        Quantity.Weight => (40, 1600),
        Quantity.ConditionScore1to9 => (1, 9),
        Quantity.NeckScore0to5 => (0, 5),
        _ => throw new ArgumentOutOfRangeException(nameof(metric), metric, "No range is known for this quantity."),
    };

    /// <summary>Null where <paramref name="value"/> is plausible; else what is wrong with it, with a hint where it fits in another unit: "310 cm wide: did you mean 310 mm?".</summary>
    public static string? Check(Metric metric, double value)
    {
        if (!double.IsFinite(value))
            return $"{metric} is not a number.";
        if (Fits(metric, value))
            return null;
        if (metric.Unit == "mm" && Fits(metric, value / 10))
            return $"{Text(value / 10)} cm {Dimension(metric)}: did you mean {Text(value / 10)} mm?";
        if (metric.Unit == "mm" && Fits(metric, value * 10))
            return $"{Text(value)} mm {Dimension(metric)}: did you mean {Text(value)} cm, {Text(value * 10)} mm?";
        var (low, high) = RangeOf(metric);
        return $"{metric} of {Text(value)} {metric.Unit} is not plausible: {Text(low)} to {Text(high)} {metric.Unit} is.";
    }

    private static bool Fits(Metric metric, double value)
    {
        var (low, high) = RangeOf(metric);
        return value >= low && value <= high;
    }

    // A back widens with depth; the narrow end rises with it, so that 31 (cm) at 150 mm is caught.
    private static (double Narrow, double Wide) WidthsMm(int depthMm) => (20 + ((depthMm - 20) * .46), Math.Min(700, 350 + (2.5 * depthMm)));

    private static string Dimension(Metric metric) => metric.Quantity switch
    {
        Quantity.Width or Quantity.HalfLeft or Quantity.HalfRight => "wide",
        Quantity.WithersHeight or Quantity.CroupHeight => "high",
        Quantity.Girth => "round",
        _ => "long",
    };

    private static string Text(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);
}
