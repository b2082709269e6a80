using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Service.Features.Measurements;

/// <summary>What the person beside the horse should know while the measurement can still be taken again.</summary>
/// <param name="Code">repeat-disagrees, unexpected, one-repeat, after-work, exercise-unknown, not-square or head.</param>
/// <param name="Text">The advice in words.</param>
/// <param name="Station">Where, if it is about one station.</param>
/// <param name="Metric">What, if it is about one metric.</param>
internal sealed record Advice(string Code, string Text, string? Station = null, string? Metric = null)
{
    public static Advice About(Metric metric, string code, string text) => new(code, text, metric.Station?.ToString(), metric.ToString());
}

/// <summary>Judges a measuring session on entry: the most pressing advice first.</summary>
internal static class MeasurementAdvice
{
    /// <param name="values">What was measured.</param>
    /// <param name="session">The same as the engine takes it.</param>
    /// <param name="known">What is known of the horse without this session.</param>
    public static IReadOnlyList<Advice> Of(MeasuredValues values, SessionFact session, HorseFacts known) =>
    [
        .. RepeatAdvice.Of(session),
        .. TrendAdvice.Of(session, known),
        .. OneRepeat(session),
        .. Exercise(session.Exercise),
        .. Posture(values.Stance),
    ];

    private static IEnumerable<Advice> OneRepeat(SessionFact session)
    {
        var once = session.Readings.Where(r => r.Metric.Quantity == Quantity.Width).GroupBy(r => r.Metric)
            .GroupBy(m => m.Key.Station).Where(station => station.All(metric => metric.Count() == 1))
            .Select(station => station.Key.ToString()).ToList();
        if (once.Count > 0)
            yield return new Advice(
                "one-repeat", $"Measured once at {string.Join(", ", once)}: two or three repeats tell how good the measurement is.", once is [var only] ? only : null);
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

    /// <summary>Leaves out what is said of a half where the same is said of the whole width.</summary>
    internal static IEnumerable<Advice> WithoutEchoes(IReadOnlyList<(Metric Metric, Advice Advice)> found) => found
        .Where(f => f.Metric.Quantity is not (Quantity.HalfLeft or Quantity.HalfRight)
            || !found.Any(other => other.Metric == f.Metric with { Quantity = Quantity.Width }))
        .Select(f => f.Advice);
}
