using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Repeatability;

/// <summary>A measuring session and the horse it was of.</summary>
/// <param name="HorseId">Id of the horse.</param>
/// <param name="Session">The session.</param>
public readonly record struct HorseSession(string HorseId, SessionFact Session)
{
    internal double[] Values(Metric metric) => [.. Session.Readings.Where(reading => reading.Metric == metric).Select(reading => reading.Value)];
}

/// <summary>Sessions of one horse so close together that its back did not change between them.</summary>
internal static class ShortSpans
{
    // A back moves by some tenths of a millimetre in that time.
    private const int Days = 7;

    /// <summary>The spans of every horse that hold two sessions or more. Before work alone: a ridden back is another back.</summary>
    public static IEnumerable<IReadOnlyList<HorseSession>> Of(IEnumerable<HorseSession> sessions) => sessions
        .Where(item => item.Session.Exercise == ExerciseState.Before)
        .GroupBy(item => item.HorseId)
        .OrderBy(horse => horse.Key, StringComparer.Ordinal)
        .SelectMany(horse => Split([.. horse.OrderBy(item => item.Session.On).ThenBy(item => item.Session.Id, StringComparer.Ordinal)]))
        .Where(span => span.Count > 1);

    private static IEnumerable<List<HorseSession>> Split(HorseSession[] ordered)
    {
        var span = new List<HorseSession>();
        foreach (var item in ordered)
        {
            if (span.Count > 0 && item.Session.On.DayNumber - span[0].Session.On.DayNumber >= Days)
            {
                yield return span;
                span = [];
            }
            span.Add(item);
        }
        if (span.Count > 0)
            yield return span;
    }
}
