using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;

namespace BackTracker.Engine.Trends;

/// <summary>The trends of one horse while its sessions come in, in order of day.</summary>
/// <param name="phases">Its phases.</param>
/// <param name="events">Its events.</param>
/// <param name="bornOn">Its birth date; null where nobody said.</param>
/// <param name="model">The numbers to go by.</param>
/// <param name="errors">How far repeats of whoever measured lie apart.</param>
public sealed class RunningTrends(IReadOnlyList<PhaseFact> phases, IReadOnlyList<EventFact> events, DateOnly? bornOn, TrendModel model, MeasurementErrors errors)
{
    private readonly DateOnly[] eventDays = SeriesBuilder.EventDays(phases, events);
    private readonly Dictionary<Metric, RunningTrend> trends = [];

    /// <summary>How far repeats of whoever measured lie apart.</summary>
    public MeasurementErrors Errors => errors;

    /// <summary>Adds a session; one after work enters no trend.</summary>
    public void Add(SessionFact session)
    {
        ArgumentNullException.ThrowIfNull(session);
        if (session.Exercise == ExerciseState.After)
            return;
        for (var i = 0; i < session.Readings.Count; i++)
            if (IsFirst(session.Readings, i))
                Add(session, session.Readings[i].Metric);
    }

    private void Add(SessionFact session, Metric metric) => Of(metric).Add(SeriesBuilder.PointOf(session, metric, errors.RepeatSd(session, metric)));

    private static bool IsFirst(IReadOnlyList<Reading> readings, int place)
    {
        for (var i = 0; i < place; i++)
            if (readings[i].Metric == readings[place].Metric)
                return false;
        return true;
    }

    /// <summary>What to expect of a metric on a day that is not before the last session; false where there is no session of it yet.</summary>
    public bool TryExpect(Metric metric, DateOnly day, out Expectation expected) => Of(metric).TryExpect(day, out expected);

    private RunningTrend Of(Metric metric) =>
        trends.TryGetValue(metric, out var trend) ? trend : trends[metric] = new RunningTrend(metric, eventDays, bornOn, model);
}
