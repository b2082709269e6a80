using BackTracker.Engine.Assessments;
using BackTracker.Service.Pages;

namespace BackTracker.Service.Features.Observations;

/// <summary>What the form for something seen shows.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="Horse">The horse.</param>
/// <param name="Kinds">What can have been seen, by who looks first.</param>
/// <param name="VetFirstScore">The ridden-behaviour score from which a vet looks first.</param>
/// <param name="Form">The form.</param>
public sealed record ObserveModel(Named Yard, Named Horse, ILookup<FirstLook, ObservationKind> Kinds, int VetFirstScore, FormState Form);

/// <summary>What the page of an observation shows.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="Horse">The horse.</param>
/// <param name="Seen">What was seen.</param>
/// <param name="Version">Its version, as the form sends it back.</param>
public sealed record ObservationModel(Named Yard, Named Horse, ObservationAnswer Seen, string Version)
{
    /// <summary>Who gave the outcome; null where nobody is named.</summary>
    public required string? OutcomeBy { get; init; }

    /// <summary>Whether this key may record an outcome.</summary>
    public required bool MayClose { get; init; }

    /// <summary>Whether this key may take it back as entered by mistake.</summary>
    public required bool MayTakeBack { get; init; }

    /// <summary>Who can give an outcome.</summary>
    public required IReadOnlyList<(string Value, string Text)> People { get; init; }

    /// <summary>The form of the outcome.</summary>
    public required FormState Form { get; init; }
}
