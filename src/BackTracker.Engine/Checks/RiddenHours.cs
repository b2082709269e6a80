using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>
/// Hours ridden in a saddle. Seven days at a time from the start: where a ride on the horse of the pairing was recorded the rides count, else
/// a seventh of the pairing's weekly minutes for every day on which the horse is ridden. Rides recorded on other horses come on top. Days
/// still to come count by the weekly minutes alone, so that equal facts give an equal day whenever it is asked.
/// </summary>
internal static class RiddenHours
{
    private const int DaysAWeek = 7;
    private const int MinutesAnHour = 60;

    /// <summary>The day on which so many hours lie behind the saddle since <paramref name="start"/>; null where that is after <paramref name="last"/>.</summary>
    public static DateOnly? ReachedOn(Situation situation, PairingView view, DateOnly start, int hours, DateOnly last)
    {
        List<RideFact> rides = [.. situation.Facts.Rides.Where(ride => ride.SaddleId == view.Pairing.SaddleId && ride.On >= start)];
        var recordedWeeks = rides.Where(ride => view.IsOfPairing(ride, situation.Facts)).Select(ride => WeekOf(ride.On)).ToHashSet();
        var byDay = rides.ToLookup(ride => ride.On, ride => ride.Minutes);
        // In sevenths of a minute everything is a whole number.
        var left = (long)hours * MinutesAnHour * DaysAWeek;
        for (var day = start; day <= last; day = day.AddDays(1))
        {
            if (left <= 0)
                return day;
            left -= DaysAWeek * byDay[day].Sum();
            if (!recordedWeeks.Contains(WeekOf(day)) && situation.Calendar.IsRidden(day))
                left -= view.Pairing.WeeklyMinutes ?? 0;
        }
        return null;

        int WeekOf(DateOnly day) => (day.DayNumber - start.DayNumber) / DaysAWeek;
    }
}
