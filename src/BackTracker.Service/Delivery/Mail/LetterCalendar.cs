using BackTracker.Engine.Alerts;
using BackTracker.Service.Delivery.Calendar;
using BackTracker.Service.Hosting;
using BackTracker.Storage;
using BackTracker.Storage.Calendars;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Delivery.Mail;

/// <summary>The calendar file that goes with a letter: an entry for each check or visit in it that has a day. The entries are those of the calendars people subscribe to.</summary>
internal sealed partial class LetterCalendar(Database database, TimeProvider clock, PageSettings pages, ILogger<LetterCalendar> log)
{
    // More than anybody takes over by hand, and still small.
    private const int Most = 30;

    /// <summary>The file; none where nothing in the letter has a day.</summary>
    public async Task<IReadOnlyList<byte[]>> OfAsync(Letter letter, string yardId, CancellationToken cancel)
    {
        List<string> checkIds =
        [
            .. letter.Visits.Select(visit => visit.CheckId),
            .. letter.Lines.Where(line => line.News != AlertNews.Settled && (line.BookedOn ?? line.DueOn) is not null).OrderBy(LetterWords.Rank).Select(line => line.CheckId).OfType<string>(),
        ];
        try
        {
            var entries = checkIds.Count == 0 ? [] : await EntriesAsync(checkIds.Distinct().Take(Most), yardId, cancel);
            return entries.Count == 0 ? [] : [CalendarFile.Published(entries, pages.Place)];
        }
        catch (Exception error) when (!cancel.IsCancellationRequested)
        {
            // The days stand in the letter too.
            LogUnwritten(error);
            return [];
        }
    }

    private async Task<List<CalendarEntry>> EntriesAsync(IEnumerable<string> checkIds, string yardId, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        // A horse that has left the yard since is nobody's business there.
        var checks = (await CalendarStore.ChecksAsync(session, checkIds)).Where(check => check.YardId == yardId && check.State is "open" or "booked").ToList();
        var visits = (await CalendarStore.VisitsAsync(session, Sight.Of([yardId]), null, clock.GetUtcNow())).Where(visit => checks.Exists(check => check.VisitId == visit.Id)).ToList();
        var onVisits = (await CalendarStore.ChecksOfVisitsAsync(session, visits.Select(visit => visit.Id))).ToLookup(check => check.VisitId);
        return [.. checks.Where(check => check.VisitId is null).Select(CheckEntry.Of), .. visits.Select(visit => VisitEntry.Of(visit, [.. onVisits[visit.Id]]))];
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "A letter goes without its calendar entries")]
    private partial void LogUnwritten(Exception error);
}
