using System.Globalization;
using BackTracker.Engine.Measures;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Metrics and their values as somebody beside the horse says them.</summary>
internal static class MetricWords
{
    /// <summary>"the width at T13, 150 mm down"; "the girth".</summary>
    public static string Name(Metric metric) => metric.Quantity switch
    {
        Quantity.Width => $"the width at {metric.Station}, {metric.DepthMm} mm down",
        Quantity.HalfLeft => $"the left half at {metric.Station}, {metric.DepthMm} mm down",
        Quantity.HalfRight => $"the right half at {metric.Station}, {metric.DepthMm} mm down",
        Quantity.SupportLength => "the support length",
        Quantity.WithersHeight => "the height at the withers",
        Quantity.CroupHeight => "the height at the croup",
        Quantity.Girth => "the girth",
        Quantity.BodyLength => "the body length",
        Quantity.Weight => "the weight",
        Quantity.ConditionScore1to9 => "the condition score",
        Quantity.NeckScore0to5 => "the neck score",
        _ => metric.ToString(),
    };

    /// <summary>"T13 is 341 mm wide at 150 mm"; "The girth is 1850 mm".</summary>
    public static string Statement(Metric metric, double value)
    {
        if (metric.Quantity == Quantity.Width)
            return $"{metric.Station} is {Amount(metric, value)} wide at {metric.DepthMm} mm";
        var name = Name(metric);
        return $"{char.ToUpperInvariant(name[0])}{name[1..]} is {Amount(metric, value)}";
    }

    /// <summary>"18 mm"; scores have no unit.</summary>
    public static string Amount(Metric metric, double value) => metric.Unit == "-" ? Number(metric, value) : $"{Number(metric, value)} {metric.Unit}";

    /// <summary>Whole mm and kg, tenths of a score.</summary>
    public static string Number(Metric metric, double value) => value.ToString(metric.Unit == "-" ? "0.#" : "0", CultureInfo.InvariantCulture);
}
