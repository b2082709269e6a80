using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Delivery;
using BackTracker.Storage;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Observations;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Observations;

/// <summary>What receivers are told of a sign that a vet has to look at first.</summary>
/// <param name="ObservationId">The observation.</param>
/// <param name="Version">Its version then.</param>
/// <param name="Link">Where to read it.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="Kind">What was seen.</param>
/// <param name="ObservedOn">Day in the yard.</param>
internal sealed record ObservationData(string ObservationId, long Version, string Link, string HorseId, string Kind, DateOnly ObservedOn);

/// <summary>Tells of observations that stop everything.</summary>
internal static class ObservationEvents
{
    public static Task AddAsync(WriteSession session, HorseRow horse, ObservationRow seen, CheckPolicy policy) =>
        ObservationFacts.IsVetFirst(seen, policy)
            ? Events.AddAsync(session, EventTypes.ObservationVetFirst, horse.YardId, horse.Id, new ObservationData(
                seen.Id, seen.Version, $"/v1/observations/{seen.Id}", horse.Id, seen.Kind, Instants.ReadDay(seen.ObservedOn)))
            : Task.CompletedTask;
}
