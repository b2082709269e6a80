using System.Collections.Concurrent;
using BackTracker.Storage;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Yards;

/// <summary>Days in a yard's own time zone; the server's local time is never used.</summary>
internal static class YardTime
{
    // The system's own look-up takes a lock each time, which costs more than the conversion.
    private static readonly ConcurrentDictionary<string, TimeZoneInfo> Zones = new(StringComparer.Ordinal);

    public static bool IsZone(string zone) =>
        (zone.Contains('/', StringComparison.Ordinal) || zone == "UTC") && TimeZoneInfo.TryFindSystemTimeZoneById(zone, out _);

    /// <summary>The time of an instant on the yard's clock.</summary>
    public static DateTime Local(string zone, DateTimeOffset instant) =>
        TimeZoneInfo.ConvertTime(instant, RulesOf(zone)).DateTime;

    /// <summary>
    /// The instant of a time on the yard's clock; false for the hour that is skipped when clocks go forward. Of the hour that comes twice
    /// when they go back it is the first, which has always passed when the second has.
    /// </summary>
    public static bool TryInstant(string zone, DateTime local, out DateTimeOffset instant)
    {
        var rules = RulesOf(zone);
        var offset = rules.IsAmbiguousTime(local) ? rules.GetAmbiguousTimeOffsets(local).Max() : rules.GetUtcOffset(local);
        instant = new DateTimeOffset(local, offset);
        return !rules.IsInvalidTime(local);
    }

    /// <summary>The day of an instant on the yard's calendar.</summary>
    public static DateOnly Day(string zone, DateTimeOffset instant) => DateOnly.FromDateTime(Local(zone, instant));

    private static TimeZoneInfo RulesOf(string zone) => Zones.GetOrAdd(zone, TimeZoneInfo.FindSystemTimeZoneById);

    /// <summary>Today in a yard.</summary>
    public static async Task<DateOnly> TodayAsync(ReadSession session, string yardId, DateTimeOffset now) =>
        Day((await YardStore.FindAsync(session, Sight.All, yardId))!.TimeZone, now);
}
