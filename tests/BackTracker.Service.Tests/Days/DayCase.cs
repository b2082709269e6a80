using System.Globalization;

namespace BackTracker.Service.Tests.Days;

/// <summary>
/// A day on which clocks may change, worked out by hand from the IANA tz database and not by what the service asks: days and hours below are
/// held against it.
/// </summary>
/// <param name="Zone">Time zone.</param>
/// <param name="Day">The day.</param>
/// <param name="ChangesAt">When clocks change, UTC; any time where they do not.</param>
/// <param name="Before">Minutes ahead of UTC until then.</param>
/// <param name="After">Minutes ahead of UTC from then on.</param>
internal sealed record DayCase(string Zone, DateOnly Day, DateTimeOffset ChangesAt, int Before, int After)
{
    /// <summary>
    /// IANA tz database, files europe (rule EU), northamerica (rule US), australasia (rules NZ and LH, zone Pacific/Tongatapu): London changes
    /// at 01:00 UTC, Los Angeles at 02:00, Auckland at 02:00 standard time, and Lord Howe at 02:00 by half an hour. No clock changes on the
    /// leap day, nor in Tonga, which is a day ahead of most.
    /// </summary>
    public static TheoryData<string, string, string, int, int> All => new()
    {
        { "Europe/London", "2027-03-28", "2027-03-28T01:00Z", 0, 60 },
        { "Europe/London", "2027-10-31", "2027-10-31T01:00Z", 60, 0 },
        { "America/Los_Angeles", "2027-03-14", "2027-03-14T10:00Z", -480, -420 },
        { "America/Los_Angeles", "2027-11-07", "2027-11-07T09:00Z", -420, -480 },
        { "Pacific/Auckland", "2027-04-04", "2027-04-03T14:00Z", 780, 720 },
        { "Pacific/Auckland", "2027-09-26", "2027-09-25T14:00Z", 720, 780 },
        { "Australia/Lord_Howe", "2027-04-04", "2027-04-03T15:00Z", 660, 630 },
        { "Australia/Lord_Howe", "2027-10-03", "2027-10-02T15:30Z", 630, 660 },
        { "Pacific/Tongatapu", "2027-01-03", "2027-01-02T11:00Z", 780, 780 },
        { "Europe/London", "2028-02-29", "2028-02-29T00:00Z", 0, 0 },
    };

    public static DayCase Of(string zone, string day, string changesAt, int before, int after) => new(
        zone, DateOnly.ParseExact(day, "yyyy-MM-dd", CultureInfo.InvariantCulture), DateTimeOffset.Parse(changesAt, CultureInfo.InvariantCulture), before, after);

    /// <summary>The instant of a time on a day counted from this one; at the standing of before or after the change, whose hours no test asks for.</summary>
    public DateTimeOffset At(int day, string time)
    {
        var local = Day.AddDays(day).ToDateTime(TimeOnly.ParseExact(time, "HH:mm", CultureInfo.InvariantCulture));
        var early = new DateTimeOffset(local, TimeSpan.FromMinutes(Before));
        return early < ChangesAt ? early : new DateTimeOffset(local, TimeSpan.FromMinutes(After));
    }

    /// <summary>"-7 03:00": an instant as the day counted from this one, and the time on the yard's clock.</summary>
    public string Local(DateTimeOffset instant)
    {
        var local = instant.UtcDateTime.AddMinutes(instant < ChangesAt ? Before : After);
        return string.Create(CultureInfo.InvariantCulture, $"{DateOnly.FromDateTime(local).DayNumber - Day.DayNumber} {local:HH:mm}");
    }

    /// <summary>A day counted from this one, as the API writes it.</summary>
    public string On(int day) => Day.AddDays(day).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>The Monday of the week in which the second day after this one lies, counted from this day.</summary>
    public int WeekBegins => -(((int)Day.AddDays(2).DayOfWeek + 6) % 7) + 2;
}
