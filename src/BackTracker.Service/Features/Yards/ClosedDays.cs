using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Yards;

/// <summary>Days on which nobody comes to a yard.</summary>
internal static class ClosedDays
{
    public static bool Close(YardRow yard, DateOnly day)
    {
        var closed = Json.Read<string[]>(yard.ClosedDays);
        return closed.Contains(Words.Write(day.DayOfWeek)) || closed.Contains(Instants.WriteDay(day));
    }
}
