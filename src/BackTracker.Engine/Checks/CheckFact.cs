using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>What is to be done. A stronger kind covers a weaker one: refit, fit, flocking; fit also covers a re-measure.</summary>
public enum CheckKind
{
    /// <summary>Measure the back again: the yard does it.</summary>
    Remeasure,

    /// <summary>Look at the flocking.</summary>
    Flocking,

    /// <summary>Check the fit.</summary>
    Fit,

    /// <summary>Alter the tree or change the saddle.</summary>
    Refit,

    /// <summary>A vet looks first.</summary>
    Vet,
}

/// <summary>Life of a check.</summary>
public enum CheckState
{
    /// <summary>To be booked.</summary>
    Open,

    /// <summary>Somebody comes on a day.</summary>
    Booked,

    /// <summary>Done.</summary>
    Done,

    /// <summary>Not needed any more.</summary>
    Dropped,
}

/// <summary>How soon.</summary>
public enum Urgency
{
    /// <summary>In the ordinary run.</summary>
    Routine,

    /// <summary>Book now.</summary>
    Soon,

    /// <summary>Before the next ride.</summary>
    Now,
}

/// <summary>Why a check is wanted.</summary>
public enum Cause
{
    /// <summary>A vet-first sign is open.</summary>
    VetFirst,

    /// <summary>A finding is out of tolerance.</summary>
    OutNow,

    /// <summary>A sign under saddle that a fitter must see before the next ride.</summary>
    SaddleSign,

    /// <summary>Back to work after a lay-off, or a phase that raises the work.</summary>
    BackToWork,

    /// <summary>The risk of leaving tolerance reaches the limit on a day.</summary>
    Risk,

    /// <summary>The risk reaches the limit only because the last measurement is getting old.</summary>
    ForecastWide,

    /// <summary>The left/right difference of the back changed by more than noise since the last fit check.</summary>
    LeftRightChange,

    /// <summary>Weight, girth or condition changed since the last fit check.</summary>
    BodyChange,

    /// <summary>A dated event six weeks ago or coming up to that.</summary>
    DatedEvent,

    /// <summary>Too long since the last measurement.</summary>
    MeasurementAge,

    /// <summary>A saddle is being made for the horse and is not sure enough to fit on the day it comes home.</summary>
    CommissionRisk,

    /// <summary>Too long since the last measurement for a saddle that is being made.</summary>
    CommissionAge,

    /// <summary>Too long since the last fit check.</summary>
    FitCheckAge,

    /// <summary>A new or newly flocked panel has to be looked at once it has bedded in.</summary>
    BeddingIn,

    /// <summary>Too long since anybody looked at the flocking.</summary>
    FlockingAge,
}

/// <summary>Why a check is wanted, in numbers and in words.</summary>
/// <param name="Cause">The cause.</param>
/// <param name="Text">The reason in words a yard manager would use.</param>
/// <param name="On">The day the cause rests on: an event, a sign, the day a limit is reached.</param>
/// <param name="Measure">Finding or metric, for example "width150" or "weight"; null where the cause is neither.</param>
/// <param name="Station">Station of the finding, for example "T13"; null where there is none.</param>
/// <param name="Value">The number behind it (mm, probability, days); null where there is none.</param>
/// <param name="Unit">Unit of <paramref name="Value"/>; null where there is none.</param>
/// <param name="SourceId">Id of the stored record behind it; null where there is none.</param>
public sealed record Reason(
    Cause Cause, string Text, DateOnly On, string? Measure, string? Station, double? Value, string? Unit, string? SourceId)
{
    /// <summary>Side of the finding; null where it is of both together or the cause is no finding.</summary>
    public Side? Side { get; init; }
}

/// <summary>The four days of a check and its urgency; all days are days in the yard's time zone.</summary>
/// <param name="OpensOn">First sensible day.</param>
/// <param name="BookBy">Last day to book, so that it can be done when due.</param>
/// <param name="DueOn">The day it is due.</param>
/// <param name="ClosesOn">Last day before it is late beyond reason.</param>
/// <param name="Urgency">How soon.</param>
public sealed record CheckDays(DateOnly OpensOn, DateOnly BookBy, DateOnly DueOn, DateOnly ClosesOn, Urgency Urgency);

/// <summary>A check that exists, in whatever state.</summary>
/// <param name="Id">Id of the stored check.</param>
/// <param name="Kind">What is to be done.</param>
/// <param name="PairingId">The pairing it is for; null for a re-measure or a vet, which are for the horse.</param>
/// <param name="State">Its state.</param>
/// <param name="Days">Its days.</param>
/// <param name="Reasons">Why it is there.</param>
/// <param name="BookedOn">Day of the visit; null unless booked.</param>
/// <param name="DoneOn">Day it was done; null unless done.</param>
/// <param name="PostponedUntil">Day a person postponed it to; null unless postponed.</param>
public sealed record CheckFact(
    string Id,
    CheckKind Kind,
    string? PairingId,
    CheckState State,
    CheckDays Days,
    IReadOnlyList<Reason> Reasons,
    DateOnly? BookedOn,
    DateOnly? DoneOn,
    DateOnly? PostponedUntil)
{
    /// <summary>Day it was opened; null where nobody kept it.</summary>
    public DateOnly? OpenedOn { get; init; }

    /// <summary>Day a person dropped it with a reason; null while it lives and where the service dropped it because its cause was gone.</summary>
    public DateOnly? DroppedByPersonOn { get; init; }
}

/// <summary>A check that ought to exist.</summary>
/// <param name="Kind">What is to be done.</param>
/// <param name="PairingId">The pairing it is for; null for the horse.</param>
/// <param name="Days">When.</param>
/// <param name="NoticeOn">The day the check is opened: early enough to book, no earlier.</param>
/// <param name="Reasons">Why, the most urgent first, and of those the one that sets the day.</param>
public sealed record WantedCheck(CheckKind Kind, string? PairingId, CheckDays Days, DateOnly NoticeOn, IReadOnlyList<Reason> Reasons);

/// <summary>What is to be done to the stored checks.</summary>
public abstract record CheckDecision
{
    private CheckDecision() { }

    /// <summary>Open a new check.</summary>
    /// <param name="Check">The check.</param>
    public sealed record Open(WantedCheck Check) : CheckDecision;

    /// <summary>Change days or reasons of an open check.</summary>
    /// <param name="CheckId">Which.</param>
    /// <param name="Days">Its days from now on.</param>
    /// <param name="Reasons">Its reasons from now on.</param>
    /// <param name="Note">Why, in words.</param>
    public sealed record Revise(string CheckId, CheckDays Days, IReadOnlyList<Reason> Reasons, string Note) : CheckDecision;

    /// <summary>Close a check that was done: a measurement closes a re-measure, a vet's outcome a vet check.</summary>
    /// <param name="CheckId">Which.</param>
    /// <param name="On">Day it was done.</param>
    /// <param name="Note">By what, in words.</param>
    public sealed record Complete(string CheckId, DateOnly On, string Note) : CheckDecision;

    /// <summary>Drop a check whose cause is gone.</summary>
    /// <param name="CheckId">Which.</param>
    /// <param name="Note">Why, in words.</param>
    public sealed record Drop(string CheckId, string Note) : CheckDecision;
}
