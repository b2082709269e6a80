namespace BackTracker.Service.Delivery.Calendar;

/// <summary>How an entry stands, in the words of RFC 5545 3.8.1.11.</summary>
public enum EntryStatus
{
    /// <summary>To be booked.</summary>
    Tentative,

    /// <summary>Booked, or done.</summary>
    Confirmed,

    /// <summary>Fallen through, dropped, or somebody else's now.</summary>
    Cancelled,
}

/// <summary>An entry of a calendar: a whole day in the yard.</summary>
/// <param name="Uid">Its id, the same in every version.</param>
/// <param name="Sequence">Grows when its day or status changes.</param>
/// <param name="ChangedAt">When it last changed.</param>
/// <param name="On">The day.</param>
/// <param name="Status">How it stands.</param>
/// <param name="Summary">In a few words.</param>
/// <param name="Description">The rest, a line each.</param>
/// <param name="Page">Path of its page.</param>
public sealed record CalendarEntry(
    string Uid, long Sequence, DateTimeOffset ChangedAt, DateOnly On, EntryStatus Status, string Summary, IReadOnlyList<string> Description, string Page)
{
    /// <summary>Hours from the beginning of its day at which people are reminded, before it where negative.</summary>
    public IReadOnlyList<int> RemindAtHours { get; init; } = [];
}
