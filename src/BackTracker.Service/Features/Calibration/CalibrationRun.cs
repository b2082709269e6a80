using BackTracker.Engine.Assessments;
using BackTracker.Engine.Calibration;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Assessments;
using BackTracker.Storage;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Calibration;

/// <summary>Replays the stored history through the engine, one horse at a time.</summary>
internal static class CalibrationRun
{
    private const int HorsesAtATime = 100;

    /// <summary>The scores of a yard's horses, or of all, summed up.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="yardId">The yard; null for every yard.</param>
    /// <param name="today">Last day that is looked at.</param>
    /// <param name="policy">Settings.</param>
    /// <param name="cancel">Ends it between two horses.</param>
    public static async Task<CalibrationTally> OfAsync(ReadSession session, string? yardId, DateOnly today, CheckPolicy policy, CancellationToken cancel)
    {
        var tally = new CalibrationTally();
        for (var after = ""; after is not null;)
        {
            var page = await HorseStore.ListAsync(session, Sight.All, yardId, null, new Page(after, HorsesAtATime));
            foreach (var horse in page.Items)
            {
                cancel.ThrowIfCancellationRequested();
                var loaded = await HorseFactsLoader.LoadAsync(session, horse.Id, policy);
                tally.Add(Replay.Of(loaded.Facts.AsOf(today), loaded.Model));
            }
            after = page.NextAfter;
        }
        return tally;
    }
}
