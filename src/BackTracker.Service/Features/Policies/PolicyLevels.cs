using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage.Policies;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Policies;

/// <summary>The settings of a horse by level.</summary>
/// <param name="Service">Those of the service.</param>
/// <param name="Yard">What the yard has of its own.</param>
/// <param name="Pairings">What the pairings have of their own, by id; those that have nothing left out.</param>
internal sealed record PolicyLevels(CheckPolicy Service, PolicyValues Yard, IReadOnlyDictionary<string, PolicyValues> Pairings)
{
    /// <summary>Settings of the horse.</summary>
    public CheckPolicy OfHorse => Service.With(Yard);

    public static async Task<PolicyLevels> LoadAsync(ReadSession session, CheckPolicy service, string yardId, string horseId) => new(
        service, ValuesOf(await PolicyStore.OfYardAsync(session, yardId)), (await PolicyStore.OfHorseAsync(session, horseId)).ToDictionary(row => row.OwnerId, ValuesOf));

    /// <summary>Settings of the horses of a yard.</summary>
    public static async Task<CheckPolicy> InYardAsync(ReadSession session, CheckPolicy service, string yardId) =>
        service.With(ValuesOf(await PolicyStore.OfYardAsync(session, yardId)));

    /// <summary>What a pairing has of its own.</summary>
    public PolicyValues OfPairing(string pairingId) => Pairings.GetValueOrDefault(pairingId, PolicyValues.None);

    /// <summary>Stored settings as the engine takes them; one that this version does not know any more says nothing.</summary>
    public static PolicyValues ValuesOf(PolicyRow row) => new(Json.Read<Dictionary<string, double>>(row.Settings)
        .Where(value => PolicySettings.Find(value.Key) is not null)
        .ToDictionary());
}
