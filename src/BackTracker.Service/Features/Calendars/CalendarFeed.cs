using BackTracker.Service.Delivery.Calendar;
using BackTracker.Storage;
using BackTracker.Storage.Calendars;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Calendars;

/// <summary>What a person sees in their calendar.</summary>
/// <param name="owner">The person.</param>
/// <param name="now">Entries that ended longer ago than they are kept are left out.</param>
internal sealed class CalendarFeed(CalendarOwnerRow owner, DateTimeOffset now)
{
    private const int DaysKept = 30;
    private readonly DateTimeOffset _since = now.AddDays(-DaysKept);

    /// <summary>
    /// Who comes sees what is booked with them, wherever it is; who runs a yard sees every check of it, and by when to book; who rides there
    /// sees who comes. A visit is one entry with its checks.
    /// </summary>
    public async Task<IReadOnlyList<CalendarEntry>> EntriesAsync(ReadSession session)
    {
        var yards = Sight.Of(owner.YardIds);
        return owner.Role switch
        {
            "yard-manager" or "owner" => [.. await ChecksAsync(session, yards), .. await VisitsAsync(session, yards, null)],
            "rider" => [.. await BookingsAsync(session, yards, null), .. await VisitsAsync(session, yards, null)],
            _ => await OwnAsync(session, owner.EveryYard == 1 ? Sight.All : yards),
        };
    }

    private async Task<IReadOnlyList<CalendarEntry>> OwnAsync(ReadSession session, Sight sight) =>
        [.. await BookingsAsync(session, sight, owner.Id), .. await VisitsAsync(session, sight, owner.Id)];

    private async Task<IEnumerable<CalendarEntry>> ChecksAsync(ReadSession session, Sight yards)
    {
        var checks = await CalendarStore.ChecksAsync(session, yards, _since);
        var toBook = checks.Where(check => check.Kind != "remeasure" && check.BookBy != check.DueOn);
        return checks.Select(CheckEntry.Of).Concat(toBook.Select(CheckEntry.BookBy));
    }

    private async Task<IEnumerable<CalendarEntry>> BookingsAsync(ReadSession session, Sight sight, string? personId)
    {
        var bookings = await CalendarStore.BookingsAsync(session, sight, personId, _since);
        var checks = (await CalendarStore.ChecksAsync(session, bookings.Select(booking => booking.CheckId))).ToDictionary(check => check.Id);
        return bookings.Select(booking => CheckEntry.Of(checks[booking.CheckId], booking));
    }

    private async Task<IEnumerable<CalendarEntry>> VisitsAsync(ReadSession session, Sight sight, string? personId)
    {
        var visits = await CalendarStore.VisitsAsync(session, sight, personId, _since);
        var checks = (await CalendarStore.ChecksOfVisitsAsync(session, visits.Select(visit => visit.Id))).ToLookup(check => check.VisitId);
        return visits.Select(visit => VisitEntry.Of(visit, [.. checks[visit.Id]]));
    }
}
