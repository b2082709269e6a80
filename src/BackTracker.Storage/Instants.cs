using System.Globalization;

namespace BackTracker.Storage;

/// <summary>How instants and days are stored: text of fixed width that sorts in time order.</summary>
public static class Instants
{
    private const string Format = "yyyy-MM-dd'T'HH:mm:ss.fff'Z'";

    /// <summary>UTC, milliseconds, 24 characters.</summary>
    public static string Write(DateTimeOffset instant) => instant.UtcDateTime.ToString(Format, CultureInfo.InvariantCulture);

    /// <summary>Reads what <see cref="Write"/> wrote.</summary>
    public static DateTimeOffset Read(string text) =>
        DateTimeOffset.ParseExact(text, Format, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal);

    /// <summary>A day, 10 characters.</summary>
    public static string WriteDay(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>Reads what <see cref="WriteDay"/> wrote; null where there is none.</summary>
    public static DateOnly? ReadDayIfAny(string? text) => text is null ? null : ReadDay(text);

    /// <summary>Reads what <see cref="WriteDay"/> wrote.</summary>
    public static DateOnly ReadDay(string text) => DateOnly.ParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>Whether a text is as <see cref="Write"/> writes.</summary>
    public static bool IsInstant(string text) =>
        DateTimeOffset.TryParseExact(text, Format, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out _);

    /// <summary>Whether a text is as <see cref="WriteDay"/> writes.</summary>
    public static bool IsDay(string text) =>
        DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out _);
}
