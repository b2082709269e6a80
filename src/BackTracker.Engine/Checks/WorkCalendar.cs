using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>Work begins again or rises.</summary>
/// <param name="On">First day.</param>
/// <param name="SourceId">Id of the event or phase.</param>
/// <param name="DaysOff">Days without work before it; 0 where a phase raised the work.</param>
internal readonly record struct WorkRise(DateOnly On, string SourceId, int DaysOff);

/// <summary>A day on which work starts from nothing: a start of work, or a working phase after rest.</summary>
internal readonly record struct WorkStart(DateOnly On, string SourceId, Occurrence Occurrence);

/// <summary>
/// When a horse is ridden: not in a rest phase, and not from a lay-off, illness or injury until a start of work or the next phase that is
/// not rest. A start of work ends a rest phase too. Before anything is recorded it counts as ridden.
/// </summary>
internal sealed class WorkCalendar
{
    private readonly List<(DateOnly From, bool Ridden)> _spans = [(DateOnly.MinValue, true)];
    private readonly List<WorkRise> _rises = [];
    private readonly List<WorkStart> _starts = [];
    private readonly int _layOffDays;
    private bool _resting, _laidOff;
    private Phase? _phase, _lastWork;

    private WorkCalendar(int layOffDays) => _layOffDays = layOffDays;

    /// <summary>Returns after a long lay-off and phases that raise the work, in order.</summary>
    public IEnumerable<WorkRise> Rises => _rises.Where(rise => IsRidden(rise.On));

    /// <summary>Starts from nothing, in order.</summary>
    public IReadOnlyList<WorkStart> Starts => _starts;

    public static WorkCalendar Of(HorseFacts facts, CheckPolicy policy)
    {
        var calendar = new WorkCalendar(policy.LayOffDays);
        var phases = facts.Phases.Select(phase => (On: phase.From, Rank: 0, phase.Id, Apply: (Action)(() => calendar.Enter(phase))));
        var events = facts.Events
            .Where(item => item.Kind is EventKind.StartOfWork or EventKind.LayOff or EventKind.Illness or EventKind.Injury)
            .Select(item => (item.On, Rank: item.Kind == EventKind.StartOfWork ? 2 : 1, item.Id, Apply: (Action)(() => calendar.Enter(item))));
        foreach (var change in phases.Concat(events).OrderBy(change => change.On).ThenBy(change => change.Rank).ThenBy(change => change.Id, StringComparer.Ordinal))
            change.Apply();
        return calendar;
    }

    public bool IsRidden(DateOnly day) => _spans.FindLast(span => span.From <= day).Ridden;

    /// <summary>The day on which <paramref name="days"/> ridden days have passed since <paramref name="start"/>; null where work ends before and never begins again.</summary>
    public DateOnly? After(DateOnly start, int days)
    {
        for (var i = 0; i < _spans.Count; i++)
        {
            var from = _spans[i].From > start ? _spans[i].From : start;
            var to = i + 1 < _spans.Count ? _spans[i + 1].From : DateOnly.MaxValue;
            if (!_spans[i].Ridden || to <= start)
                continue;
            if (to.DayNumber - from.DayNumber >= days)
                return from.AddDays(days);
            days -= to.DayNumber - from.DayNumber;
        }
        return null;
    }

    private void Enter(PhaseFact phase)
    {
        var working = phase.Phase != Phase.Rest;
        if (working && (_resting || _phase == Phase.Rest))
            _starts.Add(new WorkStart(phase.From, phase.Id, phase.Occurrence));
        // A short rest does not make the same work as before a rise.
        var before = _phase == Phase.Rest ? _lastWork ?? Phase.Rest : _phase;
        _phase = phase.Phase;
        _lastWork = working ? phase.Phase : _lastWork;
        _resting = !working;
        _laidOff = _laidOff && !working;
        if (!Turn(phase.From, phase.Id) && working && phase.Phase > before)
            _rises.Add(new WorkRise(phase.From, phase.Id, 0));
    }

    private void Enter(EventFact item)
    {
        _laidOff = item.Kind != EventKind.StartOfWork;
        if (!_laidOff)
        {
            _resting = false;
            _starts.Add(new WorkStart(item.On, item.Id, item.Occurrence));
        }
        Turn(item.On, item.Id);
    }

    // True where work begins again after a long lay-off.
    private bool Turn(DateOnly on, string sourceId)
    {
        var last = _spans[^1];
        var ridden = !_resting && !_laidOff;
        if (ridden == last.Ridden)
            return false;
        _spans.Add((on, ridden));
        var daysOff = on.DayNumber - last.From.DayNumber;
        if (!ridden || daysOff < _layOffDays)
            return false;
        _rises.Add(new WorkRise(on, sourceId, daysOff));
        return true;
    }
}
