using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>Checks caused by what was seen on the horse or under saddle.</summary>
internal static class SignCauses
{
    /// <summary>A vet at once for every open vet-first sign, and a fit check of every saddle beside it.</summary>
    public static IEnumerable<WantedCheck> VetFirst(Situation situation)
    {
        foreach (var sign in situation.VetFirstSigns)
        {
            var seen = $"{CheckWords.Sign(sign)} seen on {Words.Day(sign.On)}";
            yield return Deadlines.Vet(situation, ReasonOf(Cause.VetFirst, sign, $"{seen}: stop using the saddle, a vet looks first."));
            foreach (var view in situation.Pairings)
            {
                yield return Deadlines.AtOnce(
                    situation, view, CheckKind.Fit, situation.Today,
                    ReasonOf(Cause.VetFirst, sign, $"{seen}: check the fit once the vet has looked."));
            }
        }
    }

    /// <summary>
    /// A fit check before the next ride for every open sign under saddle nobody has looked at yet, and for every vet-first sign that the
    /// vet has closed since the fit was last checked.
    /// </summary>
    public static IEnumerable<WantedCheck> SaddleSigns(Situation situation)
    {
        foreach (var view in situation.Pairings)
        {
            foreach (var sign in situation.Facts.Observations)
            {
                if (Signs.IsVetFirst(sign, situation.Policy))
                {
                    if (AfterTheVet(situation, view, sign) is { } after)
                        yield return after;
                }
                else if (sign.Outcome is null && !IsLookedAt(view, sign, sign.On))
                {
                    if (Signs.IsSaddleSign(sign))
                        yield return BeforeNextRide(situation, view, sign, $"{CheckWords.Sign(sign)} seen on {Words.Day(sign.On)}: check the fit before the next ride.");
                    else if (sign.Kind == ObservationKind.RiddenBehaviourScore)
                        yield return BehaviourScore(situation, view, sign);
                }
            }
        }
    }

    private static WantedCheck? AfterTheVet(Situation situation, PairingView view, ObservationFact sign) =>
        sign.Outcome is { Role: OutcomeRole.Vet } outcome && view.Pairing.From <= outcome.On && !IsLookedAt(view, sign, outcome.On)
            ? BeforeNextRide(situation, view, sign,
                $"{CheckWords.Sign(sign)} of {Words.Day(sign.On)} was seen by the vet on {Words.Day(outcome.On)}: check the fit before the next ride.")
            : null;

    private static WantedCheck BeforeNextRide(Situation situation, PairingView view, ObservationFact sign, string text) =>
        Deadlines.AtOnce(situation, view, CheckKind.Fit, situation.Today, ReasonOf(Cause.SaddleSign, sign, text));

    private static WantedCheck BehaviourScore(Situation situation, PairingView view, ObservationFact sign)
    {
        var due = sign.On.AddDays(view.Policy.BehaviourFitDays);
        var days = Words.Span(view.Policy.BehaviourFitDays);
        var reason = ReasonOf(Cause.SaddleSign, sign, $"{CheckWords.Sign(sign)} given on {Words.Day(sign.On)}: check the fit within {days}.");
        var visit = Deadlines.Visit(situation, view, sign.On, due, due.AddDays(view.Policy.WindowDays), Urgency.Now, reason);
        return visit with { NoticeOn = sign.On };
    }

    // On the day itself only a check that names the sign has looked at it: it may have been seen after the fitter had left.
    private static bool IsLookedAt(PairingView view, ObservationFact sign, DateOnly on) => view.FitsDone.Any(check =>
        check.DoneOn > on || (check.DoneOn == on && check.Reasons.Any(reason => reason.SourceId == sign.Id)));

    private static Reason ReasonOf(Cause cause, ObservationFact sign, string text) =>
        new(cause, text, sign.On, null, null, sign.Score, sign.Score is null ? null : "of 24", sign.Id);
}
