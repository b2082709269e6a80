using BackTracker.Engine.Alerts;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Commissions;
using BackTracker.Service.Delivery;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Commissions;

/// <summary>What receivers are told of a saddle that is being made and will hardly fit.</summary>
/// <param name="CommissionId">The commission.</param>
/// <param name="Version">Its version then.</param>
/// <param name="Link">Where to read the outlook.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="SaddleId">The saddle.</param>
/// <param name="Stage">Where it stands.</param>
/// <param name="DeliveryOn">The day it is to come home.</param>
/// <param name="ProbabilityFits">Probability of fitting on that day.</param>
internal sealed record CommissionData(
    string CommissionId, long Version, string Link, string HorseId, string SaddleId, CommissionStage Stage, DateOnly DeliveryOn, double ProbabilityFits);

/// <summary>A commission as it was seen when its horse was assessed.</summary>
/// <param name="Row">The commission.</param>
/// <param name="ProbabilityFits">Probability of fitting on the day of delivery; null where tree and back cannot be compared.</param>
/// <param name="Soreness">Signs seen on the horse since the latest trial began and still open, in words.</param>
internal sealed record WatchedCommission(CommissionRow Row, double? ProbabilityFits, IReadOnlyList<string> Soreness);

/// <summary>Watches the saddles that are being made for a horse whenever the horse is assessed.</summary>
internal static class CommissionWatch
{
    public static async Task<IReadOnlyList<WatchedCommission>> LookAsync(ReadSession session, LoadedHorse loaded, Assessment assessment)
    {
        var watched = new List<WatchedCommission>();
        foreach (var row in loaded.Commissions.Rows)
        {
            var trial = KnownTrial.Of(await CommissionRecords.TrialAsync(session, row.Id, row.Round), loaded.Observations, loaded.Policy);
            watched.Add(new WatchedCommission(row, assessment.Commissions.FirstOrDefault(seen => seen.CommissionId == row.Id)?.ProbabilityFits, trial.SorenessAfter));
        }
        return watched;
    }

    /// <summary>
    /// Tells of those that have come to be at risk, and opens the trials of those after which the horse is sore. One that was changed since it
    /// was looked at is left alone: the change has put its horse into the queue again.
    /// </summary>
    public static async Task KeepAsync(WriteSession session, IReadOnlyList<WatchedCommission> watched, DateOnly today)
    {
        foreach (var seen in watched)
        {
            await TellRiskAsync(session, seen);
            if (seen.Soreness.Count > 0 && seen.Row.Stage is ("passed" or "finished") && await CommissionStore.FindAsync(session, Sight.All, seen.Row.Id) is { } now && now.Version == seen.Row.Version)
                await CommissionLife.MoveAsync(session, now, new CommissionStepRow { Stage = "tree-trial", OnDay = Instants.WriteDay(today), Note = TrialCautions.Reopened });
        }
    }

    private static async Task TellRiskAsync(WriteSession session, WatchedCommission seen)
    {
        var (row, fits) = (seen.Row, seen.ProbabilityFits);
        if (fits is null || fits < DeliveryOutlook.AtRisk == (row.ToldAtRisk == 1))
            return;
        if (!await CommissionStore.RememberRiskAsync(session, row with { ToldAtRisk = fits < DeliveryOutlook.AtRisk ? 1 : 0 }) || fits >= DeliveryOutlook.AtRisk)
            return;
        await Events.AddAsync(session, EventTypes.CommissionAtRisk, row.YardId, row.HorseId, new CommissionData(
            row.Id, row.Version, $"/v1/commissions/{row.Id}/outlook", row.HorseId, row.SaddleId, Words.Read<CommissionStage>(row.Stage),
            Instants.ReadDay(row.DeliveryOn), fits.Value));
    }
}
