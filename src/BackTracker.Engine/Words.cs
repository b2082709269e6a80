using System.Globalization;

namespace BackTracker.Engine;

/// <summary>Numbers and days as a yard reads them.</summary>
public static class Words
{
    /// <summary>"14 March 2027".</summary>
    public static string Day(DateOnly day) => day.ToString("d MMMM yyyy", CultureInfo.InvariantCulture);

    /// <summary>"Re-fit" for "re-fit": as a sentence begins.</summary>
    public static string Sentence(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        return text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];
    }

    /// <summary>"20 %"; the ends are said as such, because nothing here is certain.</summary>
    public static string Percent(double probability) => probability switch
    {
        < .01 => "under 1 %",
        > .99 => "over 99 %",
        _ => string.Create(CultureInfo.InvariantCulture, $"{probability * 100:0} %"),
    };

    /// <summary>"14" for 14.2.</summary>
    public static string Whole(double value) => value.ToString("0", CultureInfo.InvariantCulture);

    /// <summary>"1 day", "6 weeks" where it is whole weeks, else "45 days".</summary>
    public static string Span(int days)
    {
        var (count, unit) = days % 7 == 0 && days > 7 ? (days / 7, "week") : (days, "day");
        return string.Create(CultureInfo.InvariantCulture, $"{count} {unit}{(count == 1 ? "" : "s")}");
    }
}
