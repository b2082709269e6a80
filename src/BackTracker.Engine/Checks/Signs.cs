using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>Which observations call whom: the vet-first list and the signs under saddle of the trade.</summary>
public static class Signs
{
    /// <summary>
    /// Whether a vet must look before the saddle is used again: an open sore, heat, swelling, lameness, soreness that is not mild, a saddle
    /// that slips to one side (Greve and Dyson 2013, Equine Vet J 45:570-577), loss of topline, new bucking, rearing or bolting, neurological
    /// signs, or a ridden-behaviour score of 8 or more (Dyson and Pollard 2020, Animals 10:1044). A score that was not given counts as high.
    /// </summary>
    public static bool IsVetFirst(ObservationFact seen, CheckPolicy policy) => seen.Kind switch
    {
        ObservationKind.Soreness => seen.Severity != ObservationSeverity.Mild,
        ObservationKind.RiddenBehaviourScore => seen.Score is not { } score || score >= policy.VetFirstBehaviourScore,
        ObservationKind.OpenSore or ObservationKind.Heat or ObservationKind.Swelling or ObservationKind.Lameness
            or ObservationKind.SaddleSlipsOneSide or ObservationKind.ToplineLoss or ObservationKind.Bucking
            or ObservationKind.Rearing or ObservationKind.Bolting or ObservationKind.Neurological => true,
        _ => false,
    };

    /// <summary>Whether a fitter must look before the next ride: a dry patch, a rub, white hairs, a saddle that moves, a change of behaviour, mild soreness.</summary>
    public static bool IsSaddleSign(ObservationFact seen) => seen.Kind switch
    {
        ObservationKind.Soreness => seen.Severity == ObservationSeverity.Mild,
        ObservationKind.DryPatch or ObservationKind.Rub or ObservationKind.WhiteHairs
            or ObservationKind.SaddleMoves or ObservationKind.Behaviour => true,
        _ => false,
    };

    /// <summary>Whether an outcome ended the observation; a vet-first sign is ended by a vet alone.</summary>
    public static bool IsClosed(ObservationFact seen, CheckPolicy policy) =>
        seen.Outcome is { } outcome && (outcome.Role == OutcomeRole.Vet || !IsVetFirst(seen, policy));

    /// <summary>Vet-first signs that no vet has closed, oldest first.</summary>
    public static IReadOnlyList<ObservationFact> OpenVetFirst(HorseFacts facts, CheckPolicy policy) =>
    [
        .. facts.Observations
            .Where(seen => IsVetFirst(seen, policy) && !IsClosed(seen, policy))
            .OrderBy(seen => seen.On)
            .ThenBy(seen => seen.Id, StringComparer.Ordinal),
    ];
}
