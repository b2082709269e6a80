using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>
/// Hours ridden in a saddle. Seven days at a time from the start: where a ride on the horse of the pairing was recorded the rides count, else
/// a seventh of the pairing's weekly minutes for every day on which the horse is ridden. Where nobody said them, riding goes on after the
/// week of the last ride as in the whole weeks before it. Rides recorded on other horses come on top. What is still to come does not depend
/// on the day it is asked, so that equal facts give an equal day.
/// </summary>
internal static class RiddenHours
{
    private const int DaysAWeek = 7;
    private const int MinutesAnHour = 60;
    private const int UsualWeeks = 4;

    /// <summary>The day on which so many hours lie behind the saddle since <paramref name="start"/>; null where that is after <paramref name="last"/>.</summary>
    public static DateOnly? ReachedOn(Situation situation, PairingView view, DateOnly start, int hours, DateOnly last)
    {
        List<RideFact> rides = [.. situation.Facts.Rides.Where(ride => ride.SaddleId == view.Pairing.SaddleId && ride.On >= start)];
        var weeks = rides.Where(ride => view.IsOfPairing(ride, situation.Facts)).ToLookup(ride => WeekOf(ride.On), ride => ride.Minutes);
        var lastWeek = weeks.Select(week => week.Key).DefaultIfEmpty(-1).Max();
        var ahead = view.Pairing.WeeklyMinutes ?? Usual(weeks, lastWeek);
        var byDay = rides.ToLookup(ride => ride.On, ride => ride.Minutes);
        // In sevenths of a minute everything is a whole number.
        var left = (long)hours * MinutesAnHour * DaysAWeek;
        for (var day = start; day <= last; day = day.AddDays(1))
        {
            if (left <= 0)
                return day;
            left -= DaysAWeek * byDay[day].Sum();
            if (!weeks.Contains(WeekOf(day)) && situation.Calendar.IsRidden(day))
                left -= WeekOf(day) > lastWeek ? ahead : view.Pairing.WeeklyMinutes ?? 0;
        }
        return null;

        int WeekOf(DateOnly day) => (day.DayNumber - start.DayNumber) / DaysAWeek;
    }

    // The week of the last ride may have more to come.
    private static int Usual(ILookup<int, int> weeks, int lastWeek)
    {
        var whole = Math.Min(UsualWeeks, lastWeek);
        return whole <= 0 ? 0 : Enumerable.Range(lastWeek - whole, whole).Sum(week => weeks[week].Sum()) / whole;
    }
}
