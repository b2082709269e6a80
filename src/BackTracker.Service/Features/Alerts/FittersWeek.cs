using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Delivery;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Alerts;

/// <summary>On Mondays, what is booked with somebody in a yard in the coming seven days.</summary>
internal static class FittersWeek
{
    private const int Days = 7;

    /// <summary>The visits of everybody who is booked from a day on, by receiver; nobody who has none, or whose subscription leaves bookings out.</summary>
    public static async Task<IReadOnlyList<(string ReceiverId, IReadOnlyList<LetterVisit> Visits)>> OfYardAsync(ReadSession session, string yardId, DateOnly today)
    {
        var booked = (await CheckStore.AliveInYardAsync(session, yardId))
            .Where(check => check.BookedOn is { } on && Instants.ReadDay(on) >= today && Instants.ReadDay(on) < today.AddDays(Days))
            .ToLookup(check => check.FitterId ?? "");
        var stopped = (await AlertStore.OpenInYardAsync(session, yardId))
            .Where(alert => alert.Cause == Words.Write(Cause.VetFirst)).Select(alert => alert.HorseId).ToHashSet();
        return
        [
            .. (await Receivers.OfYardAsync(session, yardId))
                .Where(receiver => receiver.PersonId.Length > 0 && receiver.Wants(EventTypes.CheckBooked) && booked.Contains(receiver.PersonId))
                .Select(receiver => (receiver.Id, VisitsOf(booked[receiver.PersonId], stopped))),
        ];
    }

    private static IReadOnlyList<LetterVisit> VisitsOf(IEnumerable<CheckRow> checks, HashSet<string> stopped) =>
    [
        .. checks
            .OrderBy(check => check.BookedOn, StringComparer.Ordinal).ThenBy(check => check.HorseName, StringComparer.Ordinal).ThenBy(check => check.Id, StringComparer.Ordinal)
            .Select(check => new LetterVisit(
                Instants.ReadDay(check.BookedOn!), check.HorseName, Words.Read<CheckKind>(check.Kind), check.Id,
                string.Join(' ', Json.Read<Reason[]>(check.Reasons).Select(reason => reason.Text)), stopped.Contains(check.HorseId))),
    ];
}
