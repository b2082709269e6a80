using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;

namespace BackTracker.Service.Features.Measurements;

/// <summary>What the person beside the horse should know while the measurement can still be taken again.</summary>
/// <param name="Code">
/// repeat-disagrees, unexpected, ambiguous-crossing, depth-not-reached, depth-shifted, reversed, points-apart, uneven, no-marks, one-repeat,
/// few-repeats, after-work, exercise-unknown, not-square or head.
/// </param>
/// <param name="Text">The advice in words.</param>
/// <param name="Station">Where, if it is about one station.</param>
/// <param name="Metric">What, if it is about one metric.</param>
public sealed record Advice(string Code, string Text, string? Station = null, string? Metric = null)
{
    /// <summary>Whether it says: take it again.</summary>
    public bool AsksForRepeat => Code is "repeat-disagrees" or "unexpected" or "ambiguous-crossing" or "not-square" or "head";

    public static Advice About(Metric metric, string code, string text) => new(code, text, metric.Station?.ToString(), metric.ToString());
}

/// <summary>Judges a measuring session on entry: the most pressing advice first.</summary>
internal static class MeasurementAdvice
{
    /// <param name="values">What was measured.</param>
    /// <param name="session">The same as the engine takes it.</param>
    /// <param name="known">The horse's trends by the sessions before it, and how far repeats of whoever measured lie apart.</param>
    public static IReadOnlyList<Advice> Of(MeasuredValues values, SessionFact session, RunningTrends known)
    {
        var judged = Judged(session);
        return
        [
            .. RepeatAdvice.Of(session, judged, known.Errors),
            .. TrendAdvice.Of(session, judged, known),
            .. values.Traces is { Count: > 0 } ? TraceAdvice.Of(MeasurementFacts.Sections(values)) : [],
            .. RepeatCountAdvice.Of(session, judged, known.Errors),
            .. Exercise(session.Exercise),
            .. Posture(values.Stance),
        ];
    }

    private static IEnumerable<Advice> Exercise(ExerciseState exercise)
    {
        if (exercise == ExerciseState.After)
            yield return new Advice("after-work", "Measured after work: it is shown but not trended, because work widens a back for a while. Measure before work.");
        if (exercise == ExerciseState.Unknown)
            yield return new Advice("exercise-unknown", "Say whether the horse had worked: work widens a back for a while, and not knowing it makes the trend less sure.");
    }

    private static IEnumerable<Advice> Posture(Stance? stance)
    {
        if (stance is { Square: false })
            yield return new Advice("not-square", "The horse did not stand square: a resting leg tilts the back. Take it again on level ground, square.");
        if (stance is { Head: HeadHeight.Low or HeadHeight.High })
            yield return new Advice("head", "The head was not at its natural height: head and neck change the shape of the back. Take it again with the head neutral.");
    }

    // Asymmetry and shape are made of halves and widths, which are judged themselves.
    private static List<Repeats> Judged(SessionFact session)
    {
        var judged = new List<Repeats>();
        foreach (var (metric, value) in session.Readings)
        {
            if (metric.Quantity is Quantity.Asymmetry or Quantity.ShapeRatio)
                continue;
            var known = judged.FindIndex(r => r.Metric == metric);
            if (known < 0)
                judged.Add(new Repeats(metric, [value]));
            else
                judged[known].Values.Add(value);
        }
        return judged;
    }

    /// <summary>
    /// One line a station: a bad trace is bad in all that follows from it. A width says it most plainly, then a half, then angle and fill;
    /// among those the one that is furthest off.
    /// </summary>
    internal static IEnumerable<Advice> WithoutEchoes(List<Finding> found) => found.Count == 0 ? [] : found
        .GroupBy(f => (f.Metric.Station, Whole: f.Metric.Station is null ? f.Metric : default))
        .Select(place => place.OrderBy(f => Plainness(f.Metric.Quantity)).ThenByDescending(f => f.TimesTheLimit).First())
        .Select(f => Advice.About(f.Metric, f.Code, f.Text));

    private static int Plainness(Quantity quantity) => quantity switch
    {
        Quantity.Width => 0,
        Quantity.HalfLeft or Quantity.HalfRight => 1,
        _ => 2,
    };
}

/// <summary>A value that is further off than chance explains.</summary>
/// <param name="Metric">What was read.</param>
/// <param name="Code">Code of the advice.</param>
/// <param name="Text">The advice in words.</param>
/// <param name="TimesTheLimit">How far off it is, in units of what chance explains.</param>
internal readonly record struct Finding(Metric Metric, string Code, string Text, double TimesTheLimit);

/// <summary>What was read of one metric in one session.</summary>
/// <param name="Metric">What was read.</param>
/// <param name="Values">Every value, at least one.</param>
internal readonly record struct Repeats(Metric Metric, List<double> Values);
