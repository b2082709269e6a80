using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Boards;
using BackTracker.Storage.Observations;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Observations;

/// <summary>The signs that stop everything until a vet has looked.</summary>
internal static class VetFirstSigns
{
    /// <summary>Open vet-first signs of a horse, in words: "heat, seen 2026-03-14".</summary>
    public static async Task<IReadOnlyList<string>> OpenAsync(ReadSession session, string horseId) =>
    [
        .. (await ObservationStore.LiveOfHorseAsync(session, horseId))
            .Where(row => row.Outcome is null && ObservationFacts.IsVetFirst(row))
            .Select(row => $"{row.Kind.Replace('-', ' ')}, seen {row.ObservedOn}"),
    ];

    /// <summary>Whether a vet has to look before anybody else.</summary>
    public static bool IsVetFirst(OpenObservationRow row, CheckPolicy policy) => Signs.IsVetFirst(
        new ObservationFact(
            row.Id, Instants.ReadDay(row.ObservedOn), Words.Read<ObservationKind>(row.Kind),
            row.Severity is null ? ObservationSeverity.Unstated : Words.Read<ObservationSeverity>(row.Severity), row.Score, null),
        policy);
}
