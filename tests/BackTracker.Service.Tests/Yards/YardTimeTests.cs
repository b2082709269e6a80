using System.Globalization;
using BackTracker.Service.Features.Yards;

namespace BackTracker.Service.Tests.Yards;

public sealed class YardTimeTests
{
    [Theory]
    [InlineData("Europe/London", "2026-01-15T09:30", "2026-01-15T09:30:00+00:00")]
    [InlineData("Europe/London", "2026-07-15T09:30", "2026-07-15T09:30:00+01:00")]
    [InlineData("America/New_York", "2026-07-15T09:30", "2026-07-15T09:30:00-04:00")]
    [InlineData("Europe/London", "2026-03-29T00:59", "2026-03-29T00:59:00+00:00")] // Clocks go forward at 01:00.
    [InlineData("Europe/London", "2026-03-29T02:00", "2026-03-29T02:00:00+01:00")]
    [InlineData("Europe/London", "2026-10-25T00:59", "2026-10-25T00:59:00+01:00")] // Clocks go back at 02:00, to 01:00.
    [InlineData("Europe/London", "2026-10-25T01:30", "2026-10-25T01:30:00+01:00")]
    [InlineData("Europe/London", "2026-10-25T02:00", "2026-10-25T02:00:00+00:00")]
    public void Time_onTheYardsClock_hasTheYardsOffset(string zone, string local, string instant)
    {
        Assert.True(YardTime.TryInstant(zone, Parse(local), out var read));

        Assert.Equal(instant, read.ToString("yyyy-MM-dd'T'HH:mm:sszzz", CultureInfo.InvariantCulture));
    }

    [Theory]
    [InlineData("Europe/London", "2026-03-29T01:30")]
    [InlineData("America/New_York", "2026-03-08T02:30")]
    public void Time_inTheSkippedHour_isNone(string zone, string local) => Assert.False(YardTime.TryInstant(zone, Parse(local), out _));

    private static DateTime Parse(string local) => DateTime.ParseExact(local, "yyyy-MM-dd'T'HH:mm", CultureInfo.InvariantCulture);
}
