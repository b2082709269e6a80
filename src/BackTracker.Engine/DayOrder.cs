namespace BackTracker.Engine;

/// <summary>Of two days the one that comes first, or last.</summary>
public static class DayOrder
{
    /// <summary>The earlier of two days.</summary>
    public static DateOnly Earlier(DateOnly one, DateOnly other) => one < other ? one : other;

    /// <summary>The later of two days.</summary>
    public static DateOnly Later(DateOnly one, DateOnly other) => one > other ? one : other;
}
