using BackTracker.Engine.Measures;

namespace BackTracker.Service.Features.Measurements;

/// <summary>A value computed from what was measured.</summary>
/// <param name="Metric">What it is, for example T13.width150.</param>
/// <param name="Value">The value.</param>
/// <param name="Unit">mm, kg, % or - for a ratio.</param>
/// <param name="Note">How it was computed, where that matters.</param>
internal sealed record DerivedValue(string Metric, double Value, string Unit, string? Note)
{
    public static DerivedValue Of(Metric metric, double value, string? note = null) => new(metric.ToString(), Math.Round(value, 4), metric.Unit, note);
}

/// <summary>Computes what follows from a measuring session: means of repeats, shape, asymmetry and weight by tape.</summary>
internal static class DerivedValues
{
    private const int UpperDepthMm = 30;
    private const int LowerDepthMm = 150;

    public static IReadOnlyList<DerivedValue> Of(MeasuredValues values)
    {
        var means = MeasurementFacts.Readings(values).GroupBy(r => r.Metric).ToDictionary(g => g.Key, g => g.Average(r => r.Value));
        return
        [
            .. means.Where(m => m.Key.DepthMm is not null).Select(m => DerivedValue.Of(m.Key, m.Value)),
            .. ShapeRatios(means),
            .. Asymmetries(means),
            .. WeightByTape(values),
        ];
    }

    private static IEnumerable<DerivedValue> ShapeRatios(Dictionary<Metric, double> means)
    {
        foreach (var (metric, lower) in means)
            if (metric is { Quantity: Quantity.Width, DepthMm: LowerDepthMm } && means.TryGetValue(metric with { DepthMm = UpperDepthMm }, out var upper))
                yield return DerivedValue.Of(new Metric(Quantity.ShapeRatio, metric.Station), upper / lower);
    }

    private static IEnumerable<DerivedValue> Asymmetries(Dictionary<Metric, double> means)
    {
        foreach (var (metric, left) in means)
            if (metric.Quantity == Quantity.HalfLeft && means.TryGetValue(metric with { Quantity = Quantity.HalfRight }, out var right))
                yield return DerivedValue.Of(metric with { Quantity = Quantity.Asymmetry }, 100 * (right - left) / ((left + right) / 2));
    }

    private static IEnumerable<DerivedValue> WeightByTape(MeasuredValues values)
    {
        if (values is { WeightKg: null, GirthMm: { } girth, BodyLengthMm: { } length })
            yield return DerivedValue.Of(new Metric(Quantity.Weight), BodyWeight.FromTapeKg(girth, length), BodyWeight.Formula);
    }
}
