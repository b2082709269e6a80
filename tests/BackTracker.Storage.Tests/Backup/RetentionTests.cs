using BackTracker.Storage.Backup;

namespace BackTracker.Storage.Tests.Backup;

public class RetentionTests
{
    private static readonly DateOnly First = new(2025, 1, 1);

    [Fact]
    public void Surplus_ofTwoYearsOfNights_leavesDaysWeeksAndMonths()
    {
        var kept = new List<DateOnly>();
        for (var night = First; night <= new DateOnly(2026, 12, 31); night = night.AddDays(1))
        {
            kept.Add(night);
            kept = [.. kept.Except(new Retention(14, 8, 12).Surplus(kept))];
        }

        Assert.Equal(Enumerable.Range(18, 14).Select(day => new DateOnly(2026, 12, day)), kept.TakeLast(14));
        // Sundays of the weeks before, and the last days of the months before those.
        Assert.Equal([(11, 15), (11, 22), (11, 29), (11, 30), (12, 6), (12, 13)], kept.Where(night => night is { Year: 2026, Month: 11 or 12, Day: not 31 } && night < new DateOnly(2026, 12, 18)).Select(night => (night.Month, night.Day)));
        Assert.Equal([.. Enumerable.Range(1, 10).Select(month => new DateOnly(2026, month, 1).AddMonths(1).AddDays(-1))], kept.Where(night => night < new DateOnly(2026, 11, 1)));
    }

    [Fact]
    public void Surplus_ofFewNightsLongAgo_isNone()
    {
        Assert.Empty(new Retention(14, 8, 12).Surplus([.. Enumerable.Range(0, 14).Select(i => First.AddDays(30 * i))]));
        Assert.Equal([First], new Retention(1, 0, 0).Surplus([First, First.AddDays(1)]));
    }
}
