using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Alerts;

/// <summary>What a problem is about.</summary>
public enum Concern
{
    /// <summary>A cause for which a check stands.</summary>
    Check,

    /// <summary>A booked day that has become too late: booked checks are never moved, people are told instead.</summary>
    Booking,

    /// <summary>A saddle that is being made for the horse.</summary>
    Commission,
}

/// <summary>
/// What makes a problem of a horse the same problem however often it is found: its cause and what it is about. Words, numbers, days and
/// the check that answers it are not part of it.
/// </summary>
/// <param name="Concern">What it is about.</param>
/// <param name="Cause">The cause.</param>
/// <param name="PairingId">The pairing; null where it is of the horse.</param>
/// <param name="Measure">Finding or kind of sign; null where it is of the pairing or the horse as a whole.</param>
/// <param name="Station">Station of the finding; null where there is none.</param>
/// <param name="Side">Side of the finding; null where it is of both together.</param>
public readonly record struct ProblemKey(Concern Concern, Cause Cause, string? PairingId, string? Measure, string? Station, Side? Side)
{
    /// <summary>The commission; null where it is of none.</summary>
    public string? CommissionId { get; init; }

    /// <summary>"Check/OutNow/0199.../width150/T13/": as text, equal where the keys are.</summary>
    public override string ToString() => $"{Concern}/{Cause}/{PairingId}/{Measure}/{Station}/{Side}{(CommissionId is null ? "" : $"/{CommissionId}")}";
}

/// <summary>Something that is wrong with a horse and its saddles, or about to be.</summary>
/// <param name="Key">What makes it the same problem.</param>
/// <param name="Kind">What is to be done about it.</param>
/// <param name="CheckId">The check that answers it; null where there is none.</param>
/// <param name="Text">In words.</param>
/// <param name="Urgency">How soon.</param>
/// <param name="BookBy">Last day to book.</param>
/// <param name="DueOn">The day it is due.</param>
/// <param name="BookedOn">Day somebody comes; null where nobody is booked.</param>
public sealed record Problem(
    ProblemKey Key, CheckKind Kind, string? CheckId, string Text, Urgency Urgency, DateOnly BookBy, DateOnly DueOn, DateOnly? BookedOn)
{
    /// <summary>First day on which it is overdue: after the booked day where somebody comes, else after the day it is due.</summary>
    public DateOnly OverdueFrom => (Key.Concern == Concern.Check && BookedOn is { } booked ? booked : DueOn).AddDays(1);

    /// <summary>Whether a vet must look first.</summary>
    public bool IsVetFirst => Key.Cause == Cause.VetFirst;

    /// <summary>Whether a vet has to be called: they must look first, and are not booked or did not come. Nothing silences that.</summary>
    public bool WantsVet(DateOnly today) => IsVetFirst && !(BookedOn >= today);
}
