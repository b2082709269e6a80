using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Observations;

/// <summary>Who looks first at what was seen.</summary>
public enum FirstLook
{
    Vet,
    Fitter,
    Nobody,
}

/// <summary>What was seen, in the words of people.</summary>
internal static class ObservationWords
{
    public static string Kind(ObservationKind kind) => kind switch
    {
        ObservationKind.Soreness => "Soreness on touch",
        ObservationKind.OpenSore => "Open sore",
        ObservationKind.SaddleSlipsOneSide => "Saddle slips to one side",
        ObservationKind.SaddleMoves => "Saddle moves, to no one side",
        ObservationKind.ToplineLoss => "Sudden loss of topline",
        ObservationKind.Bucking => "New bucking",
        ObservationKind.Rearing => "New rearing",
        ObservationKind.Bolting => "New bolting",
        ObservationKind.Neurological => "Neurological signs",
        ObservationKind.RiddenBehaviourScore => "Ridden-behaviour score (of 24)",
        ObservationKind.Behaviour => "Change of behaviour",
        ObservationKind.Other => "Something else (say it in the note)",
        _ => Engine.Words.Sentence(Words.Write(kind).Replace('-', ' ')),
    };

    /// <summary>Who looks first where nothing more is said of it; the rule is the engine's own.</summary>
    public static FirstLook FirstLook(ObservationKind kind, CheckPolicy policy)
    {
        var seen = new ObservationFact("", default, kind, ObservationSeverity.Unstated, null, null);
        return Signs.IsVetFirst(seen, policy) ? Observations.FirstLook.Vet : Signs.IsSaddleSign(seen) ? Observations.FirstLook.Fitter : Observations.FirstLook.Nobody;
    }
}
