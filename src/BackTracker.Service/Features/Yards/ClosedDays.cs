using BackTracker.Engine.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Yards;

/// <summary>Days on which nobody comes to a yard.</summary>
internal static class ClosedDays
{
    /// <summary>Weekdays and days as the engine takes them.</summary>
    public static Closures Of(YardRow yard)
    {
        var closed = Json.Read<string[]>(yard.ClosedDays).ToLookup(day => Words.TryParse<DayOfWeek>(day, out _));
        return new Closures([.. closed[true].Select(Words.Read<DayOfWeek>)], [.. closed[false].Select(Instants.ReadDay)]);
    }
}
