using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;

namespace BackTracker.Engine.Alerts;

/// <summary>Saddles that are being made and will hardly fit on the day they come home.</summary>
internal static class CommissionsAtRisk
{
    /// <summary>One problem for each of them. Where tree and back cannot be compared any more it stays as it was told: that nothing is known settles nothing.</summary>
    public static IEnumerable<Problem> Of(Assessment assessment, IReadOnlyList<AlertFact> open)
    {
        foreach (var commission in assessment.Commissions)
        {
            if (commission.ProbabilityFits < DeliveryOutlook.AtRisk)
                yield return AtRisk(commission, commission.ProbabilityFits.Value);
            else if (commission.ProbabilityFits is null && open.FirstOrDefault(alert => alert.Problem.Key == KeyOf(commission)) is { } told)
                yield return told.Problem;
        }
    }

    /// <summary>By what such a problem has gone, in words.</summary>
    public static string WhyGone(Problem problem, Assessment assessment) =>
        assessment.Commissions.FirstOrDefault(commission => commission.CommissionId == problem.Key.CommissionId) is { ProbabilityFits: { } fits } commission
            ? $"It fits with {Words.Percent(fits)} on {Words.Day(commission.DeliveryOn)} now."
            : "It is being made no longer: it has come home, or was refused.";

    private static ProblemKey KeyOf(CommissionAssessment commission) =>
        new(Concern.Commission, Cause.CommissionRisk, null, null, null, null) { CommissionId = commission.CommissionId };

    private static Problem AtRisk(CommissionAssessment commission, double fits) => new(
        KeyOf(commission), CheckKind.Refit, null,
        $"{commission.SaddleLabel} is being made and will hardly fit when it comes home on {Words.Day(commission.DeliveryOn)}: {Words.Percent(fits)}. Look at what would fit longest before more is made of it.",
        Urgency.Soon, commission.DeliveryOn, commission.DeliveryOn, null);
}
