using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Service.Features.Measurements;

/// <summary>A value computed from what was measured.</summary>
/// <param name="Metric">What it is, for example T13.width150.</param>
/// <param name="Value">The value.</param>
/// <param name="Unit">mm, mm2, deg, kg, % or - for a ratio.</param>
/// <param name="Note">How it was computed, where that matters.</param>
public sealed record DerivedValue(string Metric, double Value, string Unit, string? Note)
{
    public static DerivedValue Of(Metric metric, double value, string? note = null) => new(metric.ToString(), Math.Round(value, 4), metric.Unit, note);
}

/// <summary>Computes what follows from a measuring session: means of repeats, shape, asymmetry, angles, muscle fill, dip and weight by tape.</summary>
internal static class DerivedValues
{
    private const int UpperDepthMm = 30;
    private const int LowerDepthMm = 150;
    private const string SidesNeedMarks = "Mean of both sides: left and right are told apart only where the midline and a level line are marked.";

    public static IReadOnlyList<DerivedValue> Of(MeasuredValues values)
    {
        var means = Means(MeasurementFacts.Readings(values));
        return
        [
            .. means.Where(m => IsDerived(m.Key)).Select(m => DerivedValue.Of(m.Key, m.Value, NoteOn(m.Key, means))),
            .. ShapeRatios(means),
            .. WeightByTape(values),
        ];
    }

    private static Dictionary<Metric, double> Means(IReadOnlyList<Reading> readings)
    {
        var (means, counts) = (new Dictionary<Metric, double>(), new Dictionary<Metric, int>());
        foreach (var (metric, value) in readings)
        {
            means[metric] = means.GetValueOrDefault(metric) + value;
            counts[metric] = counts.GetValueOrDefault(metric) + 1;
        }
        foreach (var (metric, count) in counts)
            means[metric] /= count;
        return means;
    }

    // The other measures of the whole horse are given as they were measured.
    private static bool IsDerived(Metric metric) => metric.Station is not null || metric.Quantity == Quantity.Dip;

    private static string? NoteOn(Metric metric, Dictionary<Metric, double> means) => metric.Quantity switch
    {
        Quantity.Angle when !means.ContainsKey(metric with { Quantity = Quantity.AngleLeft }) => SidesNeedMarks,
        Quantity.Fill when !means.ContainsKey(metric with { Quantity = Quantity.FillLeft }) => SidesNeedMarks,
        _ => null,
    };

    // A trace has its own ratio; of widths alone it is that of their means.
    private static IEnumerable<DerivedValue> ShapeRatios(Dictionary<Metric, double> means)
    {
        foreach (var (metric, lower) in means)
        {
            if (metric is not { Quantity: Quantity.Width, DepthMm: LowerDepthMm } || !means.TryGetValue(metric with { DepthMm = UpperDepthMm }, out var upper))
                continue;
            var ratio = new Metric(Quantity.ShapeRatio, metric.Station);
            if (!means.ContainsKey(ratio))
                yield return DerivedValue.Of(ratio, upper / lower);
        }
    }

    private static IEnumerable<DerivedValue> WeightByTape(MeasuredValues values)
    {
        if (values is { WeightKg: null, GirthMm: { } girth, BodyLengthMm: { } length })
            yield return DerivedValue.Of(new Metric(Quantity.Weight), BodyWeight.FromTapeKg(girth, length), BodyWeight.Formula);
    }
}
