using BackTracker.Storage;
using BackTracker.Storage.Calendars;

namespace BackTracker.Service.Delivery.Calendar;

/// <summary>Visits as entries of a calendar.</summary>
internal static class VisitEntry
{
    private const int MorningOfTheDay = 7;

    /// <summary>A visit with a line for each of its checks.</summary>
    public static CalendarEntry Of(CalendarVisitRow visit, IReadOnlyList<CalendarCheckRow> checks) => new(
        visit.Id, visit.Sequence, Instants.Read(visit.ChangedAt), Instants.ReadDay(visit.OnDay),
        visit.State == "fell-through" ? EntryStatus.Cancelled : EntryStatus.Confirmed,
        $"Visit to {visit.YardName}: {Count(checks.Count)}{(visit.State == "done" ? " (done)" : "")}",
        [.. Said(visit), .. checks.Select(CheckEntry.Line), .. CheckEntry.CautionsOf(checks)],
        $"/visits/{visit.Id}")
    {
        RemindAtHours = visit.State == "planned" ? [MorningOfTheDay] : [],
    };

    private static IEnumerable<string> Said(CalendarVisitRow visit)
    {
        yield return visit.State switch
        {
            "planned" => $"{visit.FitterName} comes.",
            "done" => $"{visit.FitterName} was there.",
            _ => $"The visit of {visit.FitterName} fell through.",
        };
        foreach (var note in new[] { visit.Note, visit.ClosingNote }.OfType<string>())
            yield return note;
    }

    private static string Count(int checks) => checks == 1 ? "1 check" : FormattableString.Invariant($"{checks} checks");
}
