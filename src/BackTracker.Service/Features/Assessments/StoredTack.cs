using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Pairings;
using BackTracker.Service.Features.Policies;
using BackTracker.Service.Features.Saddles;
using BackTracker.Storage;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.Rides;
using BackTracker.Storage.Saddles;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Assessments;

/// <summary>The saddles of a horse as stored.</summary>
/// <param name="Pairings">Every pairing.</param>
/// <param name="Shapes">Shapes of their trees that count.</param>
/// <param name="Adjustments">Changes to them that count.</param>
/// <param name="LooksElsewhere">Checks of them that were done on other horses.</param>
/// <param name="Rides">Rides in them on whichever horse, since each was last looked at on this one.</param>
internal sealed record StoredTack(
    IReadOnlyList<PairingRow> Pairings, IReadOnlyList<TreeShapeRow> Shapes, IReadOnlyList<AdjustmentRow> Adjustments,
    IReadOnlyList<SaddleLookRow> LooksElsewhere, IReadOnlyList<RideRow> Rides)
{
    public static async Task<StoredTack> LoadAsync(ReadSession session, string horseId, IReadOnlyList<CheckRow> checks)
    {
        var pairings = await PairingStore.OfHorseAsync(session, horseId);
        IReadOnlyList<string> saddles = [.. pairings.Select(p => p.SaddleId).Distinct()];
        return saddles.Count == 0
            ? new StoredTack(pairings, [], [], [], [])
            : new StoredTack(
                pairings, await SaddleStore.TreeShapesAsync(session, saddles), await SaddleStore.AdjustmentsAsync(session, saddles),
                await CheckStore.LooksOnOthersAsync(session, horseId, saddles), await RidesAsync(session, pairings, checks));
    }

    public IReadOnlyList<PairingFact> ToFacts(PolicyLevels levels, KnownFitters fitters, Dictionary<string, IReadOnlyDictionary<string, Severity>> lastSeverities) =>
    [
        .. Pairings.Select(pairing => PairingFacts.ToFact(
            pairing,
            [.. Shapes.Where(s => s.SaddleId == pairing.SaddleId).Select(SaddleFacts.ToFact)],
            [.. Adjustments.Where(a => a.SaddleId == pairing.SaddleId).Select(SaddleFacts.ToFact)],
            lastSeverities.GetValueOrDefault(pairing.Id) ?? new Dictionary<string, Severity>()) with
        {
            OwnPolicy = levels.OfPairing(pairing.Id),
            LooksElsewhere = [.. LooksElsewhere.Where(look => look.SaddleId == pairing.SaddleId).Select(look => new LookFact(look.CheckId, Instants.ReadDay(look.DoneOn)))],
            Fitters = fitters.For(pairing.Id, levels.OfHorse.With(levels.OfPairing(pairing.Id))),
        }),
    ];

    // A look starts the clock of ridden hours anew: what was ridden before says nothing any more.
    private static async Task<IReadOnlyList<RideRow>> RidesAsync(ReadSession session, IReadOnlyList<PairingRow> pairings, IReadOnlyList<CheckRow> checks)
    {
        var rides = new List<RideRow>();
        foreach (var pairing in pairings)
        {
            var looks = checks.Where(check => check.PairingId == pairing.Id && check.State == "done").Select(check => check.DoneOn!);
            rides.AddRange(await RideStore.InSaddleAsync(session, pairing.SaddleId, looks.Append(pairing.FromDay).Max(StringComparer.Ordinal)!, pairing.ToDay));
        }
        return [.. rides.DistinctBy(ride => ride.Id)];
    }
}
