using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>
/// What makes a reason the same reason: its cause, the finding and the record behind it. Its numbers and words drift from day to day
/// and are no news.
/// </summary>
internal readonly record struct ReasonKey(Cause Cause, string? Measure, string? Station, Side? Side, string? SourceId)
{
    public static ReasonKey Of(Reason reason) => new(reason.Cause, reason.Measure, reason.Station, reason.Side, reason.SourceId);

    /// <summary>Whether it speaks of the same finding for the same cause, and rests on another record: what is said of it has changed.</summary>
    public bool Replaces(ReasonKey other) =>
        Measure is not null && SourceId != other.SourceId && this == other with { SourceId = SourceId };

    public static HashSet<ReasonKey> SetOf(IEnumerable<Reason> reasons) => [.. reasons.Select(Of)];
}
