using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Observations;

namespace BackTracker.Service.Features.Observations;

/// <summary>Something seen on the horse or under saddle.</summary>
/// <param name="Id">Id.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="ObservedOn">Day it was seen.</param>
/// <param name="Kind">What was seen.</param>
/// <param name="Side">Side of the horse.</param>
/// <param name="Station">Where along the back.</param>
/// <param name="Severity">How bad it is; null where nobody said.</param>
/// <param name="Score">Ridden-behaviour score, of 24.</param>
/// <param name="Note">Anything else worth saying.</param>
/// <param name="Open">Whether it still asks for an outcome.</param>
/// <param name="VetFirst">Whether a vet has to look before the saddle is used again.</param>
/// <param name="Cautions">What to mind while a vet-first sign is open.</param>
/// <param name="Outcome">What ended it.</param>
/// <param name="VoidedAt">When it was voided.</param>
/// <param name="VoidReason">Why it was voided.</param>
/// <param name="RecordedAt">When it was recorded.</param>
public sealed record ObservationAnswer(
    string Id, string HorseId, DateOnly ObservedOn, ObservationKind Kind, Side? Side, string? Station, StatedSeverity? Severity, int? Score,
    string? Note, bool Open, bool VetFirst, IReadOnlyList<string> Cautions, OutcomeAnswer? Outcome, string? VoidedAt, string? VoidReason,
    string RecordedAt)
{
    public static ObservationAnswer Of(ObservationRow row, CheckPolicy policy)
    {
        bool vetFirst = ObservationFacts.IsVetFirst(row, policy), open = ObservationFacts.IsOpen(row);
        return new ObservationAnswer(
            row.Id, row.HorseId, Instants.ReadDay(row.ObservedOn), Words.Read<ObservationKind>(row.Kind),
            row.Side is null ? null : Words.Read<Side>(row.Side), row.Station,
            row.Severity is null ? null : Words.Read<StatedSeverity>(row.Severity), row.Score, row.Note,
            open, vetFirst, vetFirst && open ? Engine.Checks.Cautions.VetFirst : [], OutcomeAnswer.Of(row), row.VoidedAt, row.VoidReason, row.CreatedAt);
    }
}

/// <summary>What ended an observation.</summary>
/// <param name="On">Day of the outcome.</param>
/// <param name="By">Id of the person who gave it.</param>
/// <param name="Role">As what that person gave it.</param>
/// <param name="Outcome">What came of it.</param>
/// <param name="Note">What was found.</param>
public sealed record OutcomeAnswer(DateOnly On, string? By, OutcomeRole Role, OutcomeWord Outcome, string? Note)
{
    public static OutcomeAnswer? Of(ObservationRow row) => row.Outcome is null ? null : new(
        Instants.ReadDay(row.OutcomeOn!), row.OutcomeBy, Words.Read<OutcomeRole>(row.OutcomeRole!), Words.Read<OutcomeWord>(row.Outcome), row.OutcomeNote);
}
