using System.Globalization;

namespace BackTracker.Storage.Backup;

/// <summary>Which backups of past nights are kept. Counted by those that are there, so that nights of downtime cost none.</summary>
/// <param name="Days">How many of the newest.</param>
/// <param name="Weeks">In how many weeks back the newest of the week.</param>
/// <param name="Months">In how many months back the newest of the month.</param>
public readonly record struct Retention(int Days, int Weeks, int Months)
{
    /// <summary>The nights whose backup is no longer kept.</summary>
    public IReadOnlyList<DateOnly> Surplus(IEnumerable<DateOnly> nights)
    {
        var newestFirst = nights.OrderDescending().ToList();
        var kept = newestFirst.Take(Days)
            .Concat(NewestOfEach(newestFirst, night => (ISOWeek.GetYear(night), ISOWeek.GetWeekOfYear(night))).Take(Weeks))
            .Concat(NewestOfEach(newestFirst, night => (night.Year, night.Month)).Take(Months));
        return [.. newestFirst.Except(kept)];
    }

    private static IEnumerable<DateOnly> NewestOfEach(IEnumerable<DateOnly> newestFirst, Func<DateOnly, (int, int)> period) => newestFirst.DistinctBy(period);
}
