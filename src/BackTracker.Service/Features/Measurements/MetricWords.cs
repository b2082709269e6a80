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
        Quantity.ShapeRatio => $"the shape ratio at {metric.Station}",
        Quantity.Asymmetry => $"the asymmetry at {metric.Station}, {metric.DepthMm} mm down",
        Quantity.AngleLeft => $"the left angle at {metric.Station}",
        Quantity.AngleRight => $"the right angle at {metric.Station}",
        Quantity.Angle => $"the angle at {metric.Station}",
        Quantity.FillLeft => $"the left muscle fill at {metric.Station}",
        Quantity.FillRight => $"the right muscle fill at {metric.Station}",
        Quantity.Fill => $"the muscle fill at {metric.Station}",
        Quantity.Dip => "the dip of the topline",
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

    /// <summary>"Width at T13, 150 mm down".</summary>
    public static string Heading(Metric metric) => Engine.Words.Sentence(Bare(metric));

    /// <summary>"width at T13, 150 mm down".</summary>
    public static string Bare(Metric metric) => Name(metric) is var name && name.StartsWith("the ", StringComparison.Ordinal) ? name[4..] : name;

    /// <summary>"T13 is 341 mm wide at 150 mm"; "The girth is 1850 mm".</summary>
    public static string Statement(Metric metric, double value)
    {
        if (metric.Quantity == Quantity.Width)
            return $"{metric.Station} is {Amount(metric, value)} wide at {metric.DepthMm} mm";
        return $"{Engine.Words.Sentence(Name(metric))} is {Amount(metric, value)}";
    }

    /// <summary>"18 mm"; scores have no unit.</summary>
    public static string Amount(Metric metric, double value) => metric.Unit == "-" ? Number(metric, value) : $"{Number(metric, value)} {metric.Unit}";

    /// <summary>Whole mm, mm2 and kg, tenths of a degree, a percent or a score, thousandths of a ratio.</summary>
    public static string Number(Metric metric, double value) => value.ToString(
        metric switch { { Quantity: Quantity.ShapeRatio } => "0.000", { Unit: "-" or "deg" or "%" } => "0.#", _ => "0" }, CultureInfo.InvariantCulture);

    /// <summary>A small change: one digit more than <see cref="Amount"/> where that would say 0.</summary>
    public static string Change(Metric metric, double value)
    {
        var number = value.ToString(metric switch { { Quantity: Quantity.ShapeRatio } => "0.000", { Unit: "mm2" } => "0", _ => "0.0" }, CultureInfo.InvariantCulture);
        return metric.Unit == "-" ? number : $"{number} {metric.Unit}";
    }
}
