using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Checks;

namespace BackTracker.Service.Features.Checks;

/// <summary>Why a check is wanted.</summary>
/// <param name="Cause">The cause.</param>
/// <param name="Text">In words.</param>
/// <param name="On">The day it rests on.</param>
/// <param name="Measure">Finding, for example width150.</param>
/// <param name="Station">Station of the finding.</param>
/// <param name="Side">Side of the finding.</param>
/// <param name="Value">The number behind it.</param>
/// <param name="Unit">Unit of the number.</param>
/// <param name="SourceId">The record behind it.</param>
/// <param name="Assessment">Address of the stored assessment it comes from.</param>
public sealed record ReasonAnswer(
    Cause Cause, string Text, DateOnly On, string? Measure, string? Station, Engine.Assessments.Side? Side, double? Value, string? Unit, string? SourceId, string? Assessment)
{
    public static ReasonAnswer Of(Reason reason, string? assessmentId) => new(
        reason.Cause, reason.Text, reason.On, reason.Measure, reason.Station, reason.Side, reason.Value, reason.Unit, reason.SourceId,
        assessmentId is null ? null : $"/v1/assessments/{assessmentId}");
}

/// <summary>What a person found.</summary>
/// <param name="Text">In words.</param>
/// <param name="Station">Where along the back.</param>
/// <param name="Side">On which side.</param>
/// <param name="Value">A number that goes with it.</param>
/// <param name="Unit">Unit of the number.</param>
public sealed record FindingNote(string Text, string? Station, Engine.Assessments.Side? Side, double? Value, string? Unit);

/// <summary>A check.</summary>
/// <param name="Id">Id.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="HorseName">What the yard calls it.</param>
/// <param name="YardId">The yard.</param>
/// <param name="PairingId">The pairing; null for a re-measure or a vet, which are for the horse.</param>
/// <param name="Kind">What is to be done.</param>
/// <param name="State">Where it stands.</param>
/// <param name="Urgency">How soon.</param>
/// <param name="OpensOn">First sensible day.</param>
/// <param name="BookBy">Last day to book.</param>
/// <param name="DueOn">The day it is due.</param>
/// <param name="ClosesOn">Last day of its window.</param>
/// <param name="Reasons">Why.</param>
/// <param name="BookedOn">Day of the visit.</param>
/// <param name="FitterId">Who comes.</param>
/// <param name="VisitId">The visit it is part of.</param>
/// <param name="PostponedUntil">Day a person put it off to.</param>
/// <param name="AcceptedRisk">Whether the risk of putting it off was accepted in so many words.</param>
/// <param name="DoneOn">Day it was done or dropped.</param>
/// <param name="DoneBy">Who did it.</param>
/// <param name="Findings">What was found.</param>
/// <param name="ClosingNote">Why it was closed.</param>
/// <param name="CreatedAt">When it was opened.</param>
/// <param name="Cautions">What to keep in mind.</param>
public sealed record CheckAnswer(
    string Id, string HorseId, string HorseName, string YardId, string? PairingId, CheckKind Kind, CheckState State, Urgency Urgency,
    DateOnly OpensOn, DateOnly BookBy, DateOnly DueOn, DateOnly ClosesOn, IReadOnlyList<ReasonAnswer> Reasons, DateOnly? BookedOn,
    string? FitterId, string? VisitId, DateOnly? PostponedUntil, bool AcceptedRisk, DateOnly? DoneOn, string? DoneBy,
    IReadOnlyList<FindingNote> Findings, string? ClosingNote, string CreatedAt, IReadOnlyList<string> Cautions)
{
    public static CheckAnswer Of(CheckRow row)
    {
        var days = CheckMapping.DaysOf(row);
        var kind = Words.Read<CheckKind>(row.Kind);
        var reasons = Json.Read<Reason[]>(row.Reasons);
        return new(
            row.Id, row.HorseId, row.HorseName, row.YardId, row.PairingId, kind, Words.Read<CheckState>(row.State), days.Urgency,
            days.OpensOn, days.BookBy, days.DueOn, days.ClosesOn, [.. reasons.Select(r => ReasonAnswer.Of(r, row.AssessmentId))],
            Instants.ReadDayIfAny(row.BookedOn), row.FitterId, row.VisitId, Instants.ReadDayIfAny(row.PostponedUntil), row.AcceptedRisk == 1, Instants.ReadDayIfAny(row.DoneOn), row.DoneBy,
            row.Findings is null ? [] : Json.Read<FindingNote[]>(row.Findings), row.ClosingNote, row.CreatedAt,
            reasons.Any(r => r.Cause == Cause.VetFirst) ? Engine.Checks.Cautions.VetFirst : Engine.Checks.Cautions.ForFit);
    }
}

/// <summary>One step in the life of a check.</summary>
/// <param name="Action">open, revise, book, move, unbook, postpone, complete or drop.</param>
/// <param name="Note">Why.</param>
/// <param name="Days">Its days after the step.</param>
/// <param name="By">Id of the key, or the service itself.</param>
/// <param name="At">When.</param>
public sealed record CheckStepAnswer(string Action, string? Note, CheckDays Days, string? By, string At)
{
    public static CheckStepAnswer Of(CheckStepRow row) => new(row.Action, row.Note, Json.Read<CheckDays>(row.Days), row.KeyId, row.CreatedAt);
}

/// <summary>A check with the steps of its life.</summary>
/// <param name="Check">The check.</param>
/// <param name="Steps">First to last.</param>
public sealed record CheckHistoryAnswer(CheckAnswer Check, IReadOnlyList<CheckStepAnswer> Steps);
