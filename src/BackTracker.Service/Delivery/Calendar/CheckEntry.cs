using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Calendars;

namespace BackTracker.Service.Delivery.Calendar;

/// <summary>Checks as entries of a calendar.</summary>
internal static class CheckEntry
{
    private const int MorningOfTheDay = 7;
    private const int MorningBefore = MorningOfTheDay - 24;

    /// <summary>
    /// A check as it stands: on the day it is booked for or was done, else on the day it is due. While it is part of a visit, which has an
    /// entry that names it, its own is cancelled.
    /// </summary>
    public static CalendarEntry Of(CalendarCheckRow check) => check.State switch
    {
        _ when check.VisitId is not null => Entry(check, check.DueOn, EntryStatus.Cancelled),
        "booked" => Entry(check, check.BookedOn!, EntryStatus.Confirmed) with { RemindAtHours = [MorningOfTheDay] },
        "done" => Entry(check, check.DoneOn!, EntryStatus.Confirmed),
        "dropped" => Entry(check, check.BookedOn ?? check.DueOn, EntryStatus.Cancelled),
        _ => Entry(check, check.DueOn, EntryStatus.Tentative) with { RemindAtHours = [MorningOfTheDay] },
    };

    /// <summary>
    /// A booking as whoever was to come sees it: once it is theirs no longer, it stays cancelled on the day it was for.
    /// </summary>
    public static CalendarEntry Of(CalendarCheckRow check, CalendarBookingRow booking)
    {
        var isTheirs = booking.EndedAt is null || (check is { State: "done", VisitId: null } && check.FitterId == booking.PersonId);
        return isTheirs ? Of(check) : Entry(check, booking.OnDay, EntryStatus.Cancelled) with { ChangedAt = Instants.Read(booking.EndedAt!) };
    }

    /// <summary>The last day to book, for those who book; cancelled once it is booked or over.</summary>
    public static CalendarEntry BookBy(CalendarCheckRow check)
    {
        var of = Of(check);
        var isOpen = check.State == "open";
        return of with
        {
            Uid = $"{check.Id}-book-by",
            On = Instants.ReadDay(check.BookBy),
            Status = isOpen ? EntryStatus.Tentative : EntryStatus.Cancelled,
            Summary = $"Book by today: {BoardWords.Name(Kind(check))}, {check.HorseName}",
            RemindAtHours = isOpen ? [MorningBefore, MorningOfTheDay] : [],
        };
    }

    /// <summary>"Bramble, Trail saddle: fit check, due 3 May 2026."</summary>
    public static string Line(CalendarCheckRow check) =>
        $"{check.HorseName}{Saddle(check)}: {BoardWords.Name(Kind(check))}, {(check.State == "done" ? $"done {Day(check.DoneOn!)}" : $"due {Day(check.DueOn)}")}.";

    /// <summary>What to keep in mind of some checks.</summary>
    public static IReadOnlyList<string> CautionsOf(IEnumerable<CalendarCheckRow> checks) =>
        [.. checks.Any(check => Reasons(check).Any(reason => reason.Cause == Cause.VetFirst)) ? Cautions.VetFirst : [], .. Cautions.ForFit];

    private static CalendarEntry Entry(CalendarCheckRow check, string on, EntryStatus status) => new(
        check.Id, check.Sequence, Instants.Read(check.ChangedAt), Instants.ReadDay(on), status,
        $"{CheckWords.Name(Kind(check))}: {check.HorseName}{(check.State == "done" ? " (done)" : "")}",
        [$"{check.YardName}{Saddle(check)}.", Standing(check, status), .. Reasons(check).Select(reason => reason.Text), .. CautionsOf([check])],
        $"/checks/{check.Id}");

    private static string Standing(CalendarCheckRow check, EntryStatus status) => (check.State, status) switch
    {
        ("dropped", _) => $"Not needed any more: {check.ClosingNote}",
        (_, _) when check.VisitId is not null => "It is part of a visit, which has an entry of its own.",
        (_, EntryStatus.Cancelled) => "This booking does not stand any more.",
        ("done", _) => $"Done {Day(check.DoneOn!)}.",
        ("booked", _) => $"Booked for {Day(check.BookedOn!)}{CheckWords.With(check.FitterName)}, due {Day(check.DueOn)}.",
        (_, _) when check.Kind == "remeasure" => $"Due {Day(check.DueOn)}.",
        _ => $"Not booked yet: book by {Day(check.BookBy)}, due {Day(check.DueOn)}.",
    };

    private static Reason[] Reasons(CalendarCheckRow check) => Json.Read<Reason[]>(check.Reasons);

    private static CheckKind Kind(CalendarCheckRow check) => Words.Read<CheckKind>(check.Kind);

    private static string Saddle(CalendarCheckRow check) => check.SaddleLabel is null ? "" : $", {check.SaddleLabel}";

    private static string Day(string day) => Engine.Words.Day(Instants.ReadDay(day));
}
