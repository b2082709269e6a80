using BackTracker.Engine.Commissions;

namespace BackTracker.Engine.Tests.Commissions;

public class BeddingInTests
{
    private static readonly DateOnly Delivered = new(2026, 7, 1);

    // Trade guidance gives 10 and 20 ridden hours and 2 to 6 months: 300 minutes a week are 10 hours in 14 days.
    [Fact]
    public void Plan_with_ridden_hours_is_due_when_they_are_ridden()
    {
        var plan = BeddingIn.Plan(Delivered, 300);
        Assert.Equal([10, 20, 60], plan.Select(look => look.RiddenHours));
        Assert.Equal([Delivered.AddDays(14), Delivered.AddDays(28), Delivered.AddDays(84)], plan.Select(look => look.ExpectedOn));
    }

    [Fact]
    public void Plan_that_nobody_rides_is_due_by_the_weeks()
    {
        var plan = BeddingIn.Plan(Delivered, 0);
        Assert.Equal([42, 84, 182], plan.Select(look => look.ExpectedOn.DayNumber - Delivered.DayNumber));
        Assert.All(plan, look => Assert.Equal(look.LatestOn, look.ExpectedOn));
    }

    // Closed form: clearances of 40 + 6 e^(-h/9) are met to the digit, since 9 hours is among those tried.
    [Fact]
    public void Settlement_of_a_curve_of_its_own_kind_finds_it_again()
    {
        var settled = BeddingIn.Settlement([.. new double[] { 0, 5, 10, 20 }.Select(hours => new DatedClearance(hours, 40 + (6 * Math.Exp(-hours / 9))))])!.Value;
        Assert.Equal(40, settled.RestMm, 9);
        Assert.Equal(6 * Math.Exp(-20 / 9.0), settled.StillToComeMm, 9);
        Assert.Equal(6 - (6 * Math.Exp(-20 / 9.0)), settled.PackedMm, 9);
    }

    [Fact]
    public void Settlement_of_two_looks_tells_nothing() =>
        Assert.Null(BeddingIn.Settlement([new(0, 46), new(10, 42), new(10, 41)]));

    [Theory]
    [InlineData(new double[] { 0, 10, 20 }, new double[] { 46, 41.6, 40.6 }, true)]
    [InlineData(new double[] { 0, 5, 10 }, new double[] { 46, 43.4, 42 }, false)] // Not ridden for long.
    [InlineData(new double[] { 0, 10, 22 }, new double[] { 46, 43.6, 42 }, false)] // Still packing down.
    [InlineData(new double[] { 0, 10, 22 }, new double[] { 40, 40.4, 40.2 }, true)] // Foam: nothing packs down.
    public void IsSettled_needs_hours_and_a_panel_that_has_stopped(double[] hours, double[] rooms, bool expected) =>
        Assert.Equal(expected, BeddingIn.IsSettled([.. hours.Zip(rooms, (h, mm) => new DatedClearance(h, mm))]));
}
