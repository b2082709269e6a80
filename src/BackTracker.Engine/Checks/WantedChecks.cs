using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>From causes to the checks that ought to exist: one for each pairing and kind, the weaker ones inside the stronger.</summary>
internal static class WantedChecks
{
    /// <summary>
    /// The checks wanted, those for the horse first, then by pairing and kind. While a vet-first sign is open nothing is wanted but the vet
    /// and what stands beside it: everything that calls a fitter at once.
    /// </summary>
    public static IReadOnlyList<WantedCheck> Of(Situation situation)
    {
        if (situation.Facts.Status != HorseStatus.Active)
            return [];
        var causes = SignCauses.VetFirst(situation).Concat(SignCauses.SaddleSigns(situation)).Concat(RiskCauses.OutNow(situation));
        if (situation.VetFirstSigns.Count > 0)
            return Merge(causes.Where(cause => cause.Kind != CheckKind.Remeasure), situation);
        causes = causes
            .Concat(RiskCauses.Risk(situation))
            .Concat(FitCauses.BackToWork(situation))
            .Concat(FitCauses.Age(situation))
            .Concat(LeftRightCauses.Changes(situation))
            .Concat(FlockingCauses.All(situation))
            .Concat(MeasurementCauses.All(situation));
        return Cover(Merge(causes, situation), situation);
    }

    private static List<WantedCheck> Merge(IEnumerable<WantedCheck> causes, Situation situation)
    {
        var wanted = causes.GroupBy(cause => cause.PairingId, (_, own) => Absorb([.. own], situation)).SelectMany(own => own);
        return
        [
            .. wanted
                .GroupBy(cause => (cause.PairingId, cause.Kind), (_, same) => Join([.. InOrder(same)], situation.Today))
                .OrderBy(check => check.PairingId, StringComparer.Ordinal)
                .ThenBy(check => check.Kind),
        ];
    }

    /// <summary>Causes of a weaker kind that fall due within the window of a stronger one become causes of the stronger.</summary>
    private static List<WantedCheck> Absorb(List<WantedCheck> own, Situation situation)
    {
        if (own[0].PairingId is null)
            return own;
        foreach (var strong in new[] { CheckKind.Refit, CheckKind.Fit })
        {
            if (InOrder(own.Where(cause => cause.Kind == strong)).FirstOrDefault() is not { } lead)
                continue;
            own = [.. own.Select(cause => IsWeaker(cause.Kind, strong) && IsAtHand(lead, cause, situation) && FallsIn(lead, cause, situation.Today) ? TakenIn(cause, lead, situation.Today) : cause)];
        }
        return own;
    }

    // An overdue one comes along without its day: the stronger check was not wanted then.
    private static WantedCheck TakenIn(WantedCheck cause, WantedCheck lead, DateOnly today) => cause with
    {
        Kind = lead.Kind,
        Days = cause.Days.DueOn < today ? lead.Days with { Urgency = cause.Days.Urgency } : cause.Days,
    };

    // What is due now does not wait for a visit that opens in half a year; one that stands already takes it along.
    private static bool IsAtHand(WantedCheck lead, WantedCheck cause, Situation situation) =>
        lead.NoticeOn <= situation.Today || cause.Days.DueOn >= lead.Days.OpensOn || situation.Facts.Checks.Any(check =>
            check.Kind == lead.Kind && check.PairingId == lead.PairingId && check.State is CheckState.Open or CheckState.Booked);

    private static bool IsWeaker(CheckKind kind, CheckKind strong) =>
        kind is CheckKind.Flocking or CheckKind.Fit && kind < strong;

    /// <summary>
    /// Joins causes of one pairing and kind: the first sets the days, those within its window or at notice join it, and the rest wait until
    /// it is done. The window closes when that of any of them does. Said first is what is most urgent.
    /// </summary>
    private static WantedCheck Join(List<WantedCheck> inOrder, DateOnly today)
    {
        var lead = inOrder[0];
        var joined = inOrder.Where(cause => FallsIn(lead, cause, today)).ToList();
        return lead with
        {
            Days = lead.Days with { ClosesOn = joined.Min(cause => cause.Days.ClosesOn), Urgency = joined.Max(cause => cause.Days.Urgency) },
            NoticeOn = joined.Min(cause => cause.NoticeOn),
            Reasons = [.. joined.OrderByDescending(cause => cause.Days.Urgency).SelectMany(cause => cause.Reasons).DistinctBy(ReasonKey.Of)],
        };
    }

    private static bool FallsIn(WantedCheck lead, WantedCheck cause, DateOnly today) =>
        cause.Days.DueOn <= lead.Days.ClosesOn || cause.NoticeOn <= today;

    private static IEnumerable<WantedCheck> InOrder(IEnumerable<WantedCheck> causes) => causes
        .OrderBy(cause => cause.Days.DueOn)
        .ThenBy(cause => cause.Reasons[0].Cause)
        .ThenBy(cause => cause.Reasons[0].On)
        .ThenBy(cause => cause.Reasons[0].SourceId, StringComparer.Ordinal);

    /// <summary>
    /// The fitter measures too: a re-measure that would be opened now is left to a visit that is still to come and due no later. A visit that
    /// is overdue covers nothing: nobody knows when it will be. A re-measure that is already open stays, because the yard has been asked.
    /// </summary>
    private static List<WantedCheck> Cover(List<WantedCheck> wanted, Situation situation)
    {
        var measure = wanted.Find(check => check.Kind == CheckKind.Remeasure && check.NoticeOn <= situation.Today);
        if (measure is null || situation.Facts.Checks.Any(check => check.Kind == CheckKind.Remeasure && check.State is CheckState.Open or CheckState.Booked))
            return wanted;
        var visit = wanted.FindIndex(check =>
            check.Kind is CheckKind.Fit or CheckKind.Refit && check.NoticeOn <= situation.Today
            && check.Days.DueOn >= situation.Today && check.Days.DueOn <= measure.Days.DueOn && !IsOverdue(check, situation));
        if (visit < 0)
            return wanted;
        wanted[visit] = wanted[visit] with { Reasons = [.. wanted[visit].Reasons.Concat(measure.Reasons).DistinctBy(ReasonKey.Of)] };
        wanted.Remove(measure);
        return wanted;
    }

    private static bool IsOverdue(WantedCheck wanted, Situation situation) => situation.Facts.Checks.Any(check =>
        check.Kind == wanted.Kind && check.PairingId == wanted.PairingId
        && (check.State == CheckState.Booked ? check.BookedOn < situation.Today : check.State == CheckState.Open && check.Days.DueOn < situation.Today));
}
