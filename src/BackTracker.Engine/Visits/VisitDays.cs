using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Visits;

/// <summary>On which days somebody can come to a yard.</summary>
/// <param name="Closed">When the yard is closed.</param>
/// <param name="WorkingDays">Weekdays on which who comes works; empty for any day.</param>
public sealed record VisitDays(Closures Closed, IReadOnlyList<DayOfWeek> WorkingDays)
{
    /// <summary>Whether the yard is open.</summary>
    public bool IsOpen(DateOnly day) => !Closed.Close(day);

    /// <summary>Whether who comes works.</summary>
    public bool IsWorked(DateOnly day) => WorkingDays.Count == 0 || WorkingDays.Contains(day.DayOfWeek);

    /// <summary>The days from the first to the last on which somebody can come.</summary>
    public IEnumerable<DateOnly> Between(DateOnly first, DateOnly last)
    {
        for (var day = first; day <= last; day = day.AddDays(1))
            if (IsOpen(day) && IsWorked(day))
                yield return day;
    }
}
