namespace BackTracker.Service.Jobs;

/// <summary>Whether the round of a day has been.</summary>
internal static class RoundDays
{
    // A clock that is set right by a day or two does no day again; one that was weeks ahead must not hold up the rounds for weeks.
    private const int MostSetBackDays = 2;

    /// <param name="last">The day of the last round; null where there was none.</param>
    /// <param name="day">The day that has come.</param>
    public static bool IsDone(DateOnly? last, DateOnly day) => last >= day && last <= day.AddDays(MostSetBackDays);
}
