using System.Globalization;

namespace BackTracker.Service.Pictures;

/// <summary>Few round places on an axis.</summary>
internal static class RoundTicks
{
    private static readonly double[] Factors = [1, 2, 2.5, 5, 10];
    private static readonly int[] MonthSteps = [1, 2, 3, 6, 12];
    private static readonly int[] DaySteps = [1, 7, 14];

    /// <summary>Multiples of 1, 2, 2.5 or 5 times a power of ten between two values, no more than so many.</summary>
    public static IReadOnlyList<double> Of(double low, double high, int most)
    {
        var least = (high - low) / most;
        var power = Math.Pow(10, Math.Floor(Math.Log10(least)));
        var step = power * Factors.First(factor => factor * power >= least * .999);
        var first = Math.Ceiling(low / step);
        return [.. Enumerable.Range(0, (int)Math.Floor((high / step) - first) + 1).Select(i => (first + i) * step)];
    }

    /// <summary>First days of months between two days, or days a week or two apart in a short span, no more than so many.</summary>
    public static IReadOnlyList<DateOnly> Of(DateOnly first, DateOnly last, int most)
    {
        var span = last.DayNumber - first.DayNumber;
        if (DaySteps.FirstOrDefault(step => span <= step * (most - 1)) is > 0 and var days)
            return [.. Enumerable.Range(0, (span / days) + 1).Select(i => first.AddDays(i * days))];
        var months = Enumerable.Range(0, (span / 28) + 2).Select(i => new DateOnly(first.Year, first.Month, 1).AddMonths(i)).Where(day => day >= first && day <= last).ToList();
        return MonthSteps.Select(step => months.Where(day => (day.Month - 1) % step == 0).ToList()).FirstOrDefault(chosen => chosen.Count <= most)
            ?? [.. months.Where(day => day.Month == 1)];
    }

    /// <summary>"3 Mar".</summary>
    public static string Short(DateOnly day) => day.ToString("d MMM", CultureInfo.InvariantCulture);
}
