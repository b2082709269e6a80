using System.Collections.Concurrent;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Repeatability;
using BackTracker.Service.Features.Measurements;
using BackTracker.Storage;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Repeatability;

/// <summary>The repeat errors that trends of a horse go by, learned from what its yard measured lately.</summary>
internal static class RepeatErrors
{
    // As they measure now, and no more than is soon read: a hundred pairs tell a standard deviation to 7 %.
    private const int LatestSessions = 120;

    // A few KB each.
    private const int MostKept = 1024;
    private static readonly ConcurrentDictionary<string, Learned> Kept = new();

    /// <param name="session">Session to read with.</param>
    /// <param name="yardId">The yard the horse stands in.</param>
    /// <param name="upTo">Last day known.</param>
    /// <param name="horse">Sessions of the horse.</param>
    /// <param name="learned">What was learned over all horses, to start from.</param>
    public static async Task<MeasurementErrors> LoadAsync(ReadSession session, string yardId, DateOnly upTo, IEnumerable<SessionFact> horse, LearnedPriors learned) =>
        (await TableAsync(session, yardId, upTo)).ErrorsFor(horse).StartingFrom(learned);

    /// <summary>What the sessions of a yard say; kept until they are others, for the horses of a yard are assessed one after the other.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="yardId">The yard.</param>
    /// <param name="upTo">Last day known.</param>
    public static async Task<ScatterTable> TableAsync(ReadSession session, string yardId, DateOnly upTo)
    {
        var (sight, latest) = (Sight.Of([yardId]), new LatestMeasurements(Instants.WriteDay(upTo), LatestSessions));
        var versions = await MeasurementStore.LatestVersionsAsync(session, sight, latest);
        if (Kept.TryGetValue(yardId, out var kept) && kept.From.SequenceEqual(versions))
            return kept.Table;
        var rows = await MeasurementStore.LatestAsync(session, sight, latest);
        var table = ScatterTable.Of(rows.Select(MeasurementFacts.ToSession));
        if (Kept.Count > MostKept)
            Kept.Clear();
        Kept[yardId] = new Learned([.. rows.Select(row => new MeasurementVersion(row.Id, row.Version))], table);
        return table;
    }

    private sealed record Learned(IReadOnlyList<MeasurementVersion> From, ScatterTable Table);
}
