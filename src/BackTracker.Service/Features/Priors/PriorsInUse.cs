using System.Collections.Concurrent;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Trends;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Priors;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Priors;

/// <summary>The trend model as it is to be used on a day: what is shipped, with what was learned up to then.</summary>
internal static class PriorsInUse
{
    // A round a year, and what was once learned never changes.
    private const int MostKept = 64;
    private static readonly ConcurrentDictionary<string, TrendModel> Kept = new();

    /// <param name="session">Session to read with.</param>
    /// <param name="upTo">Last day known.</param>
    public static async Task<TrendModel> ModelAsync(ReadSession session, DateOnly upTo)
    {
        if (await PriorStore.LatestIdAsync(session, Instants.WriteDay(upTo)) is not { } id)
            return TrendModel.Shipped;
        if (Kept.TryGetValue(id, out var kept))
            return kept;
        if (Kept.Count > MostKept)
            Kept.Clear();
        return Kept[id] = TrendModel.Shipped.With(Read((await PriorStore.FindAsync(session, id))!));
    }

    /// <summary>What was learned, from how it is stored.</summary>
    public static LearnedPriors Read(PriorRow row) => Json.ReadStored<LearnedPriors>(row.Body);
}
