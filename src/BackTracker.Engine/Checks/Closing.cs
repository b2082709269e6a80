using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>When a check that stands is closed by what was done or because its cause is gone.</summary>
internal static class Closing
{
    /// <summary>Closes a check by what was done, or because the horse or the pairing is no longer looked after; null where it stands.</summary>
    public static CheckDecision? Of(CheckFact check, Situation situation)
    {
        if (situation.Facts.Status != HorseStatus.Active)
            return new CheckDecision.Drop(check.Id, $"{situation.Facts.HorseName} is {Standing(situation.Facts.Status)}: no checks.");
        if (check.PairingId is { } pairing && situation.Pairings.All(view => view.Pairing.Id != pairing))
            return new CheckDecision.Drop(check.Id, "The saddle is not used on this horse any more.");
        return check.Kind switch
        {
            CheckKind.Vet when situation.VetFirstSigns.Count == 0 => AfterTheVet(check, situation),
            CheckKind.Remeasure when check.Reasons.Count > 0 && MeasurementCauses.IsAnswered(check.Reasons[0], situation) =>
                new CheckDecision.Complete(check.Id, situation.LastSession!.On, $"Measured on {Words.Day(situation.LastSession.On)}."),
            CheckKind.Flocking => OnceFlocked(check, situation),
            _ => null,
        };
    }

    // A flocking that the check is to look at once it has bedded in is its cause, not its end.
    private static CheckDecision.Complete? OnceFlocked(CheckFact check, Situation situation) =>
        situation.Pairings.Single(view => view.Pairing.Id == check.PairingId).Pairing.Adjustments
            .Where(change => change.Kind == AdjustmentKind.Flocking && change.On >= check.OpenedOn && change.On <= situation.Today)
            .Where(change => check.Reasons.All(reason => reason.SourceId != change.Id))
            .MinBy(change => change.On) is { } flocked
            ? new CheckDecision.Complete(check.Id, flocked.On, $"Flocked on {Words.Day(flocked.On)}.")
            : null;

    /// <summary>
    /// Drops an open check that is wanted no longer. Null where it stays: booked, because people decide; and, unless a stronger check
    /// covers it, while a vet-first sign is open, because everything stops, and while the risk it was opened for is still at half the
    /// limit or more by its due day.
    /// </summary>
    public static CheckDecision? IfUnwanted(CheckFact check, Situation situation, IReadOnlyList<WantedCheck> wanted)
    {
        if (check.State == CheckState.Booked)
            return null;
        if (Cover(check, wanted, situation.Today) is { } stronger)
            return new CheckDecision.Drop(check.Id, $"Covered by the {CheckWords.Kind(stronger.Kind)}.");
        return situation.VetFirstSigns.Count > 0 || IsStillAtRisk(check, situation) ? null : new CheckDecision.Drop(check.Id, Gone(check));
    }

    /// <summary>The check of a stronger kind for the same pairing that is to be open today; null where there is none.</summary>
    public static WantedCheck? Cover(CheckFact check, IReadOnlyList<WantedCheck> wanted, DateOnly today) => wanted.FirstOrDefault(want =>
        check.PairingId is not null && want.PairingId == check.PairingId && want.NoticeOn <= today
        && want.Kind is CheckKind.Fit or CheckKind.Refit && want.Kind > check.Kind);

    /// <summary>Whether a check that was opened for a risk would still be due for half of it.</summary>
    public static bool IsStillAtRisk(CheckFact check, Situation situation)
    {
        if (check.Reasons.Count == 0 || check.Reasons[0].Cause is not (Cause.Risk or Cause.ForecastWide))
            return false;
        return situation.Pairings
            .Where(view => check.PairingId is null || view.Pairing.Id == check.PairingId)
            .Any(view => view.Forecast?.At(check.Days.DueOn).OutBy >= view.Policy.RiskLimit / 2 && !(view.LastFitOn >= view.Forecast.Overall[0].Day));
    }

    private static CheckDecision AfterTheVet(CheckFact check, Situation situation)
    {
        var seen = situation.Facts.Observations
            .Where(sign => sign.Outcome?.Role == OutcomeRole.Vet && check.Reasons.Any(reason => reason.SourceId == sign.Id))
            .Select(sign => sign.Outcome!.Value.On)
            .ToList();
        return seen.Count > 0
            ? new CheckDecision.Complete(check.Id, seen.Max(), $"Seen by the vet on {Words.Day(seen.Max())}.")
            : new CheckDecision.Drop(check.Id, "The sign it was for does not call for a vet any more.");
    }

    private static string Gone(CheckFact check) => (check.Reasons.Count > 0 ? check.Reasons[0].Cause : null as Cause?) switch
    {
        Cause.OutNow => "No finding is out of tolerance any more.",
        Cause.Risk or Cause.ForecastWide => "The risk of leaving tolerance stays under the limit now.",
        Cause.SaddleSign or Cause.VetFirst => "The sign it was for is closed.",
        Cause.BackToWork => "Work does not begin or rise any more as it was planned, or the fit was checked for it.",
        Cause.FitCheckAge => "The time since the last fit check does not call for one now.",
        Cause.DatedEvent => "The event it was for is gone.",
        Cause.LeftRightChange => "The left/right difference has not changed by more than noise since the last fit check.",
        Cause.BodyChange => "Weight, girth and condition are back to what they were at the last fit check.",
        Cause.CommissionRisk => "The saddle that is being made is sure enough to fit now.",
        Cause.CommissionAge => "No saddle is being made for the horse any more.",
        Cause.BeddingIn or Cause.FlockingAge => "The time ridden since the flocking was looked at does not call for another look now.",
        _ => "Its cause is gone.",
    };

    private static string Standing(HorseStatus status) => status.ToString().ToLowerInvariant() is var word && status == HorseStatus.Died ? "dead" : word;
}
