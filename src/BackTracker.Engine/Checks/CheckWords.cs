using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>Names of what is recorded, as they stand in reasons.</summary>
internal static class CheckWords
{
    /// <summary>"Open sore", "Ridden-behaviour score of 9 of 24".</summary>
    public static string Sign(ObservationFact seen) => seen.Kind switch
    {
        ObservationKind.RiddenBehaviourScore when seen.Score is { } score => $"Ridden-behaviour score of {Words.Whole(score)} of 24",
        ObservationKind.RiddenBehaviourScore => "Ridden-behaviour score",
        ObservationKind.SaddleSlipsOneSide => "Saddle slipping to one side",
        ObservationKind.SaddleMoves => "Saddle moving",
        ObservationKind.ToplineLoss => "Loss of topline",
        ObservationKind.Neurological => "Neurological signs",
        ObservationKind.Behaviour => "Change of behaviour",
        _ => Spaced(seen.Kind.ToString()),
    };

    /// <summary>"Start of work", "New saddle".</summary>
    public static string Event(EventKind kind) => Spaced(kind.ToString());

    /// <summary>"letting down", "steady work"; "no phase recorded" where nothing was said.</summary>
    public static string Phase(Phase? phase) => phase switch
    {
        null => "with no phase recorded",
        Assessments.Phase.Rest => "at rest",
        Assessments.Phase.Steady => "in steady work",
        Assessments.Phase.Rehabilitation => "in rehabilitation",
        Assessments.Phase.LettingDown => "while letting down",
        Assessments.Phase.Backing => "while being backed",
        { } working => $"while {Spaced(working.ToString()).ToLowerInvariant()}",
    };

    /// <summary>"fit check", "re-measure".</summary>
    public static string Kind(CheckKind kind) => kind switch
    {
        CheckKind.Remeasure => "re-measure",
        CheckKind.Flocking => "flocking check",
        CheckKind.Fit => "fit check",
        CheckKind.Refit => "re-fit",
        _ => "vet",
    };

    private static string Spaced(string name) =>
        string.Concat(name.Select((letter, i) => i > 0 && char.IsUpper(letter) ? $" {char.ToLowerInvariant(letter)}" : letter.ToString()));
}
