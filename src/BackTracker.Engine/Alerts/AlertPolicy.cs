namespace BackTracker.Engine.Alerts;

/// <summary>When people are told. All are settings; the defaults are common practice without a published source.</summary>
public sealed record AlertPolicy
{
    /// <summary>Beginning of the night on the yard's clock: what is urgent waits for its end, unless a vet must look first.</summary>
    public TimeOnly NightFrom { get; init; } = new(21, 0);

    /// <summary>End of the night on the yard's clock; the same as its beginning for no night.</summary>
    public TimeOnly NightTo { get; init; } = new(6, 30);

    /// <summary>Time of the daily letter on the yard's clock.</summary>
    public TimeOnly DigestAt { get; init; } = new(7, 0);

    /// <summary>Days overdue after which what nobody has acknowledged is told to the fitters.</summary>
    public int FitterAfterDays { get; init; } = 2;

    /// <summary>Days overdue after which what nobody has acknowledged is told to the owners.</summary>
    public int OwnerAfterDays { get; init; } = 5;

    /// <summary>Days overdue, and days acknowledged, after which what was acknowledged and is still there is raised again.</summary>
    public int AgainAfterDays { get; init; } = 14;

    /// <summary>Whether a time on the yard's clock lies in the night.</summary>
    public bool IsNight(TimeOnly time) => NightFrom != NightTo && time.IsBetween(NightFrom, NightTo);

    /// <summary>
    /// Whether a daily letter may be written at a time on the yard's clock. One that was missed until the night waits for the next, so that
    /// there are not two within an hour; one whose time lies in the night waits for its end.
    /// </summary>
    public bool IsLetterTime(TimeOnly time) => NightFrom == NightTo || !time.IsBetween(NightFrom, IsNight(DigestAt) ? NightTo : DigestAt);
}
