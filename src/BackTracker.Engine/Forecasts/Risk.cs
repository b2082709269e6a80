namespace BackTracker.Engine.Forecasts;

/// <summary>Looking up days in a list of consecutive risk days.</summary>
internal static class Risk
{
    public static DateOnly? ReachedOn(IReadOnlyList<RiskDay> days, double probability, DateOnly from)
    {
        foreach (var day in days)
        {
            if (day.Day >= from && day.OutBy >= probability)
                return day.Day;
        }
        return null;
    }

    public static RiskDay At(IReadOnlyList<RiskDay> days, DateOnly day) =>
        days[Math.Clamp(day.DayNumber - days[0].Day.DayNumber, 0, days.Count - 1)];
}
