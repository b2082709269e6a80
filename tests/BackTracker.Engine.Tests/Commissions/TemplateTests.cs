using BackTracker.Engine.Commissions;

namespace BackTracker.Engine.Tests.Commissions;

public class TemplateTests
{
    // Greve and Dyson 2014 (doi 10.1111/evj.12267_161): T8 and T18 differ after two months, T13 after four; months of 28 days.
    [Theory]
    [InlineData(55, TemplateAge.Fresh)]
    [InlineData(56, TemplateAge.Old)]
    [InlineData(111, TemplateAge.Old)]
    [InlineData(112, TemplateAge.Stale)]
    public void AgeOn_days_after_the_measurement_is_old_after_two_months_and_stale_after_four(int days, TemplateAge expected)
    {
        var measured = new DateOnly(2026, 3, 2);
        Assert.Equal(expected, Template.AgeOn(measured, measured.AddDays(days)));
    }
}
