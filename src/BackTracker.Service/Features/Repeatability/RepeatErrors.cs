using BackTracker.Engine.Assessments;
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

    /// <param name="session">Session to read with.</param>
    /// <param name="yardId">The yard the horse stands in.</param>
    /// <param name="upTo">Last day known.</param>
    /// <param name="horse">Sessions of the horse.</param>
    public static async Task<MeasurementErrors> LoadAsync(ReadSession session, string yardId, DateOnly upTo, IEnumerable<SessionFact> horse)
    {
        var latest = await MeasurementStore.LatestAsync(session, Sight.Of([yardId]), new LatestMeasurements(Instants.WriteDay(upTo), LatestSessions));
        return MeasurementErrors.Learn(latest.Select(MeasurementFacts.ToSession), horse);
    }
}
