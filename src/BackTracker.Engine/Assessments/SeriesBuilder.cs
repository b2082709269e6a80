using BackTracker.Engine.Measures;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Assessments;

/// <summary>Makes the dated series of a metric from the facts of a horse.</summary>
public static class SeriesBuilder
{
    /// <summary>
    /// The series of <paramref name="metric"/>: repeats of a session are averaged, sessions after work are left out (a ridden bout widens
    /// the back by 10 to 15 mm: Greve, Murray and Dyson 2015, Vet J 206:39-46, size second-hand), and the days on which the pace may have
    /// changed are those of events, of every phase after the first, and of a first phase that sets out to change the back.
    /// The quieter prior of horses with dated events holds only where the sessions reach over such a day: a phase that was there before the
    /// first session says nothing of when the back began to move.
    /// </summary>
    /// <param name="facts">Facts as of the day asked (<see cref="HorseFactsAsOf.AsOf"/>).</param>
    /// <param name="metric">What to take.</param>
    public static MetricSeries Build(HorseFacts facts, Metric metric)
    {
        SeriesPoint[] points = [.. Trended(facts).Select(session => PointOf(session, metric, facts.Errors.RepeatSd(session, metric))).Where(point => point.Repeats > 0)];
        var days = EventDays(facts.Phases, facts.Events);
        var reached = points.Length > 0 && days.Any(day => day >= points[0].On && day <= points[^1].On);
        return new MetricSeries(metric, points, days, reached ? PriorContext.EventsRecorded : PriorContext.NothingRecorded)
        {
            Class = points.Length > 0 ? HorseClasses.Of(facts.BornOn, points[^1].On) : HorseClass.All,
        };
    }

    /// <summary>The series as it was known on <paramref name="asOf"/>.</summary>
    public static MetricSeries Build(HorseFacts facts, Metric metric, DateOnly asOf) => Build(facts.AsOf(asOf), metric);

    /// <summary>Every width that some session before work holds, by station and depth.</summary>
    public static IReadOnlyList<Metric> WidthsOf(HorseFacts facts) =>
    [
        .. Trended(facts)
            .SelectMany(session => session.Readings)
            .Select(reading => reading.Metric)
            .Where(metric => metric is { Quantity: Quantity.Width, Station: not null })
            .Distinct()
            .OrderBy(metric => metric.Station)
            .ThenBy(metric => metric.DepthMm),
    ];

    /// <summary>Sessions that enter trends, in order of day.</summary>
    public static IEnumerable<SessionFact> Trended(HorseFacts facts) => facts.Sessions
        .Where(session => session.Exercise != ExerciseState.After)
        .OrderBy(session => session.On)
        .ThenBy(session => session.Id, StringComparer.Ordinal);

    internal static SeriesPoint PointOf(SessionFact session, Metric metric, double repeatSd)
    {
        var (sum, repeats) = (0.0, 0);
        foreach (var reading in session.Readings)
        {
            if (reading.Metric == metric)
                (sum, repeats) = (sum + reading.Value, repeats + 1);
        }
        return new SeriesPoint(session.On, repeats > 0 ? sum / repeats : 0, repeats, session.Exercise, repeatSd);
    }

    internal static DateOnly[] EventDays(IReadOnlyList<PhaseFact> phases, IReadOnlyList<EventFact> events) =>
    [
        .. phases.OrderBy(phase => phase.From).ThenBy(phase => phase.Id, StringComparer.Ordinal)
            .Where((phase, index) => index > 0 || ChangesTheBack(phase.Phase)).Select(phase => phase.From)
            .Concat(events.Select(item => item.On))
            .Distinct()
            .Order(),
    ];

    private static bool ChangesTheBack(Phase phase) => phase is Phase.Rehabilitation or Phase.Backing or Phase.Conditioning or Phase.Building;
}
