using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Observations;

namespace BackTracker.Service.Features.Observations;

/// <summary>Stored observations as the engine takes them.</summary>
internal static class ObservationFacts
{
    public static ObservationFact ToFact(ObservationRow row) => new(
        row.Id,
        Instants.ReadDay(row.ObservedOn),
        Words.Read<ObservationKind>(row.Kind),
        row.Severity is null ? ObservationSeverity.Unstated : Words.Read<ObservationSeverity>(row.Severity),
        row.Score,
        row.OutcomeRole is null ? null : new OutcomeFact(Instants.ReadDay(row.OutcomeOn!), Words.Read<OutcomeRole>(row.OutcomeRole)))
    {
        Station = Station.TryParse(row.Station, out var station) ? station : null,
        Side = row.Side is null ? null : Words.Read<Side>(row.Side),
    };

    /// <summary>Whether a vet has to look before anybody else.</summary>
    public static bool IsVetFirst(ObservationRow row, CheckPolicy policy) => Signs.IsVetFirst(ToFact(row), policy);

    public static bool IsOpen(ObservationRow row) => row is { Outcome: null, VoidedAt: null };
}
