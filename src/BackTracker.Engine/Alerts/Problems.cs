using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;

namespace BackTracker.Engine.Alerts;

/// <summary>The problems of a horse, from the checks that stand and from its assessment.</summary>
public static class Problems
{
    /// <summary>Every problem once, in order of its key; none for a horse that is not looked after.</summary>
    /// <param name="facts">The horse, its checks as they are once the assessment's decisions have been carried out.</param>
    /// <param name="assessment">The assessment.</param>
    /// <param name="open">Alerts that are open.</param>
    /// <param name="policy">Settings.</param>
    public static IReadOnlyList<Problem> Of(HorseFacts facts, Assessment assessment, IReadOnlyList<AlertFact> open, CheckPolicy policy)
    {
        if (facts.Status != HorseStatus.Active)
            return [];
        var standing = facts.Checks.Where(check => check.State is CheckState.Open or CheckState.Booked).ToList();
        return
        [
            .. VetFirst(facts, assessment, standing)
                .Concat(standing.SelectMany(check => OfCheck(check, facts, assessment, policy)))
                .Concat(standing.SelectMany(check => OvertakenBookings.Of(check, assessment, open, policy)))
                .Concat(CommissionsAtRisk.Of(assessment, open))
                .GroupBy(problem => problem.Key, (_, same) => Gravest(same))
                .OrderBy(problem => problem.Key.ToString(), StringComparer.Ordinal),
        ];
    }

    /// <summary>The urgency a cause may have: the mere passing of time asks for a visit soon, never before the next ride.</summary>
    internal static Urgency Limited(Urgency urgency, Cause cause) =>
        cause is Cause.FitCheckAge or Cause.MeasurementAge or Cause.FlockingAge or Cause.BeddingIn or Cause.DatedEvent or Cause.ForecastWide
            or Cause.CommissionRisk or Cause.CommissionAge && urgency == Urgency.Now ? Urgency.Soon : urgency;

    private static Problem Gravest(IEnumerable<Problem> same) => same
        .OrderByDescending(problem => problem.Urgency)
        .ThenBy(problem => problem.DueOn)
        .ThenBy(problem => problem.CheckId, StringComparer.Ordinal)
        .First();

    /// <summary>One for every kind and place of open sign: the horse is stopped, whatever is booked for its saddles.</summary>
    private static IEnumerable<Problem> VetFirst(HorseFacts facts, Assessment assessment, List<CheckFact> standing)
    {
        var vet = standing.Find(check => check.Kind == CheckKind.Vet);
        foreach (var same in facts.Observations.Where(seen => assessment.VetFirstObservationIds.Contains(seen.Id)).GroupBy(seen => KeyOf(Cause.VetFirst, null, seen)))
        {
            var first = same.OrderBy(seen => seen.On).ThenBy(seen => seen.Id, StringComparer.Ordinal).First();
            var due = vet?.Days.DueOn ?? first.On;
            yield return new Problem(
                same.Key, CheckKind.Vet, vet?.Id, $"{CheckWords.Sign(first)}{Place(first)} seen on {Words.Day(first.On)}: stop using the saddle, a vet looks first.",
                Urgency.Now, due, due, vet?.BookedOn);
        }
    }

    private static IEnumerable<Problem> OfCheck(CheckFact check, HorseFacts facts, Assessment assessment, CheckPolicy policy) => check.Reasons
        .Where(reason => reason.Cause switch
        {
            Cause.VetFirst => false, // Made from the signs themselves.
            Cause.OutNow => !IsInTolerance(reason, PairingOf(check, reason, facts), assessment),
            Cause.SaddleSign => facts.Observations.Any(seen => seen.Id == reason.SourceId && (seen.Outcome is null || Signs.IsVetFirst(seen, policy))),
            _ => true,
        })
        .Select(reason => new Problem(
            KeyOf(check, reason, facts), check.Kind, check.Id, reason.Text, Limited(check.Days.Urgency, reason.Cause), check.Days.BookBy, check.Days.DueOn, check.BookedOn));

    private static ProblemKey KeyOf(CheckFact check, Reason reason, HorseFacts facts) => reason.Cause switch
    {
        Cause.OutNow => new(Concern.Check, reason.Cause, PairingOf(check, reason, facts), reason.Measure, reason.Station, reason.Side),
        Cause.SaddleSign => KeyOf(reason.Cause, check.PairingId, facts.Observations.First(seen => seen.Id == reason.SourceId)),
        _ => new(Concern.Check, reason.Cause, check.PairingId, null, null, null),
    };

    /// <summary>A sign is another one where it is seen at another place.</summary>
    internal static ProblemKey KeyOf(Cause cause, string? pairingId, ObservationFact seen) =>
        new(Concern.Check, cause, pairingId, seen.Kind.ToString(), seen.Station?.ToString(), seen.Side);

    private static string Place(ObservationFact seen) => (seen.Station, seen.Side) switch
    {
        ({ } station, { } side) => $" at {station} {SideOf(side)}",
        ({ } station, null) => $" at {station}",
        (null, { } side) => $" {SideOf(side)}",
        _ => "",
    };

    private static string SideOf(Side side) => side == Side.Left ? "on the left" : "on the right";

    // A finding that was looked at and is still out by the numbers asks for a measurement, which is of the horse; it is the same finding.
    private static string? PairingOf(CheckFact check, Reason reason, HorseFacts facts) =>
        check.PairingId ?? facts.Pairings.FirstOrDefault(pairing => pairing.Id == reason.SourceId)?.Id;

    // Only a finding that is known says so: one that cannot be had any more is no evidence.
    private static bool IsInTolerance(Reason reason, string? pairingId, Assessment assessment) =>
        assessment.Pairings.Where(pairing => pairing.PairingId == pairingId).SelectMany(pairing => pairing.Findings).Any(finding =>
            finding.Numbers is not null && finding.Severity is Severity.Ok or Severity.Watch && MeasureFacts.Name(finding.Key.Measure) == reason.Measure
            && finding.Key.Station?.ToString() == reason.Station && finding.Key.Side == reason.Side);
}
