using BackTracker.Service.Features.Alerts;
using BackTracker.Storage.Alerts;

namespace BackTracker.Service.Tests.Alerts;

public sealed class AlertMappingTests
{
    // Offsets of the IANA time zone database.
    [Theory]
    [InlineData("Pacific/Auckland", 16)]
    [InlineData("Europe/London", 15)]
    [InlineData("America/Los_Angeles", 15)]
    public void AcknowledgedOn_isTheDayInTheYard(string zone, int day)
    {
        var row = new AlertRow
        {
            State = "acknowledged",
            AcknowledgedAt = "2027-01-15T22:30:00.000Z",
            Concern = "check",
            Cause = "out-now",
            Urgency = "soon",
            CheckKind = "refit",
            BookBy = "2027-01-20",
            DueOn = "2027-01-30",
        };

        Assert.Equal(new DateOnly(2027, 1, day), AlertMapping.ToFact(row, zone).AcknowledgedOn);
    }
}
