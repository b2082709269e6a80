using BackTracker.Engine.Alerts;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Service.Delivery;
using BackTracker.Service.Features.Assessments;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Fit;

/// <summary>What receivers are told of a pairing that left tolerance or came back.</summary>
/// <param name="PairingId">The pairing.</param>
/// <param name="Version">Its version then.</param>
/// <param name="Link">Where to read the fit.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="SaddleId">The saddle.</param>
/// <param name="Out">Keys of the findings that are out of tolerance now.</param>
/// <param name="ProbabilityOut">Probability that some finding is out; null where nothing could be compared.</param>
/// <param name="Assessment">Address of the stored assessment.</param>
internal sealed record FitData(
    string PairingId, long Version, string Link, string HorseId, string SaddleId, IReadOnlyList<string> Out, double? ProbabilityOut, string Assessment);

/// <summary>Tells of findings that went out of tolerance since the assessment before, and of pairings that have none left.</summary>
internal static class FitEvents
{
    public static async Task AddAsync(WriteSession session, LoadedHorse loaded, Assessment assessment, string assessmentId)
    {
        var before = loaded.Facts.Pairings.ToDictionary(p => p.Id, p => Out(p.LastSeverities));
        foreach (var pairing in assessment.Pairings)
        {
            var now = Out(pairing.Severities);
            if (Change(before[pairing.PairingId], now) is not { } type)
                continue;
            await Events.AddAsync(session, type, loaded.Inputs.Yard.Id, loaded.Facts.HorseId, new FitData(
                pairing.PairingId, loaded.Inputs.Pairings.Single(p => p.Id == pairing.PairingId).Version, $"/v1/pairings/{pairing.PairingId}/fit",
                loaded.Facts.HorseId, pairing.SaddleId, now, pairing.Outlook?.OutToday, $"/v1/assessments/{assessmentId}"));
        }
    }

    /// <summary>The event of a change from one set of findings out of tolerance to another; null where there is nothing to tell.</summary>
    public static string? Change(IReadOnlyList<string> before, IReadOnlyList<string> now)
    {
        if (now.Except(before).Any())
            return EventTypes.FitOutOfTolerance;
        return before.Count > 0 && now.Count == 0 ? EventTypes.FitRestored : null;
    }

    private static List<string> Out(IReadOnlyDictionary<string, Severity> severities) =>
        [.. severities.Where(s => s.Value == Severity.Out).Select(s => s.Key).Order(StringComparer.Ordinal)];
}
