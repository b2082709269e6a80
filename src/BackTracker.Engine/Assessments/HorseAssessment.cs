using BackTracker.Engine.Checks;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Assessments;

/// <summary>The decision engine: facts and a day in, findings, forecasts and decisions about checks out.</summary>
public static class HorseAssessment
{
    /// <summary>Version of the rules; it changes when equal facts may give another answer.</summary>
    public const string EngineVersion = "8";

    /// <summary>
    /// Assesses a horse on a day. Pure and deterministic: equal facts, policy, model and day give equal answers, and once the decisions
    /// have been carried out, assessing again on the same day decides nothing. Facts later than <paramref name="today"/> are not looked at.
    /// </summary>
    public static Assessment Assess(HorseFacts facts, CheckPolicy policy, TrendModel model, DateOnly today)
    {
        var situation = new Situation(facts.AsOf(today), policy, model, today);
        var wanted = WantedChecks.Of(situation);
        return new Assessment(
            EngineVersion,
            model.Version,
            today,
            [.. situation.VetFirstSigns.Select(sign => sign.Id)],
            situation.Trends.Widths(today),
            [.. situation.Pairings.Select(pairing => InLightOf(pairing.Assessment, wanted))],
            wanted,
            Reconciliation.Decide(situation, wanted))
        {
            Commissions = situation.Commissions,
        };
    }

    /// <summary>A saddle for which somebody must come before the next ride is not one against which nothing speaks.</summary>
    private static PairingAssessment InLightOf(PairingAssessment pairing, IReadOnlyList<WantedCheck> wanted) =>
        pairing.Advice == RideAdvice.NothingAgainst && wanted.Any(check => check.PairingId == pairing.PairingId && check.Days.Urgency == Urgency.Now)
            ? pairing with { Advice = RideAdvice.CheckFirst, AdviceText = "Have it checked before the next ride." }
            : pairing;
}
