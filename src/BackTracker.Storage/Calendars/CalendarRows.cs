namespace BackTracker.Storage.Calendars;

/// <summary>A person whose calendar is read, and what of it the key that made the address may see.</summary>
public sealed record CalendarOwnerRow
{
    /// <summary>The person.</summary>
    public string Id { get; init; } = "";

    /// <summary>Name.</summary>
    public string Name { get; init; } = "";

    /// <summary>Role, as a word.</summary>
    public string Role { get; init; } = "";

    /// <summary>1 where a key of every yard made the address.</summary>
    public int EveryYard { get; init; }

    /// <summary>Those of the person's yards that may be seen, parted by commas.</summary>
    public string? Yards { get; init; }

    /// <summary>Those of the person's yards that may be seen.</summary>
    public IReadOnlyList<string> YardIds => string.IsNullOrEmpty(Yards) ? [] : Yards.Split(',');
}

/// <summary>A check as calendars need it.</summary>
public sealed record CalendarCheckRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>What is to be done.</summary>
    public string Kind { get; init; } = "";

    /// <summary>open, booked, done or dropped.</summary>
    public string State { get; init; } = "";

    /// <summary>routine, soon or now.</summary>
    public string Urgency { get; init; } = "";

    /// <summary>What the yard calls the horse.</summary>
    public string HorseName { get; init; } = "";

    /// <summary>The yard the horse is in.</summary>
    public string YardId { get; init; } = "";

    /// <summary>What people call the yard.</summary>
    public string YardName { get; init; } = "";

    /// <summary>What the yard calls the saddle; null where the check is for the horse.</summary>
    public string? SaddleLabel { get; init; }

    /// <summary>Who comes.</summary>
    public string? FitterId { get; init; }

    /// <summary>Their name.</summary>
    public string? FitterName { get; init; }

    /// <summary>The visit it is part of.</summary>
    public string? VisitId { get; init; }

    /// <summary>Why, as a JSON list.</summary>
    public string Reasons { get; init; } = "[]";

    /// <summary>Last day to book.</summary>
    public string BookBy { get; init; } = "";

    /// <summary>The day it is due.</summary>
    public string DueOn { get; init; } = "";

    /// <summary>Day somebody comes.</summary>
    public string? BookedOn { get; init; }

    /// <summary>Day it was done or dropped.</summary>
    public string? DoneOn { get; init; }

    /// <summary>Why it was closed.</summary>
    public string? ClosingNote { get; init; }

    /// <summary>How often its day, its state or the person changed.</summary>
    public long Sequence { get; init; }

    /// <summary>When it last changed.</summary>
    public string ChangedAt { get; init; } = "";
}

/// <summary>The last booking of a check, with somebody or with anybody, whatever became of it.</summary>
public sealed record CalendarBookingRow
{
    /// <summary>The check.</summary>
    public string CheckId { get; init; } = "";

    /// <summary>The day it was booked for.</summary>
    public string OnDay { get; init; } = "";

    /// <summary>With whom.</summary>
    public string? PersonId { get; init; }

    /// <summary>When it ended: done, dropped, taken back or given to another; null while it stands.</summary>
    public string? EndedAt { get; init; }
}

/// <summary>A visit as calendars need it.</summary>
public sealed record CalendarVisitRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>What people call the yard.</summary>
    public string YardName { get; init; } = "";

    /// <summary>Name of who comes.</summary>
    public string FitterName { get; init; } = "";

    /// <summary>The day.</summary>
    public string OnDay { get; init; } = "";

    /// <summary>planned, done or fell-through.</summary>
    public string State { get; init; } = "";

    /// <summary>What was said when it was planned.</summary>
    public string? Note { get; init; }

    /// <summary>What was said when it was over.</summary>
    public string? ClosingNote { get; init; }

    /// <summary>How often its day or state changed.</summary>
    public long Sequence { get; init; }

    /// <summary>When it or a check on it last changed.</summary>
    public string ChangedAt { get; init; } = "";
}
