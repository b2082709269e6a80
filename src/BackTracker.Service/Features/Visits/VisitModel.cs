using BackTracker.Service.Features.Checks;
using BackTracker.Service.Pages;

namespace BackTracker.Service.Features.Visits;

/// <summary>What the page of a visit shows.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="Visit">The visit.</param>
/// <param name="Version">Its version, as forms send it back.</param>
/// <param name="Fitter">Who comes.</param>
public sealed record VisitModel(Named Yard, VisitAnswer Visit, string Version, string Fitter)
{
    /// <summary>Its checks.</summary>
    public required IReadOnlyList<VisitModelCheck> Checks { get; init; }

    /// <summary>The forms that are shown.</summary>
    public required IReadOnlyDictionary<VisitStep, FormState> Forms { get; init; }

    /// <summary>Who can have done it.</summary>
    public required IReadOnlyList<(string Value, string Text)> Doers { get; init; }

    /// <summary>What was refused of a form that is no longer there, in words.</summary>
    public required IReadOnlyList<string> Refused { get; init; }
}

/// <summary>A check of a visit, and its entry in the report.</summary>
/// <param name="Index">Place of its entry in the report; stays when the form is shown again.</param>
/// <param name="Check">The check.</param>
/// <param name="Title">Horse, saddle and what is to be done.</param>
/// <param name="VetFirst">Open signs that a vet has to look at first, in words.</param>
public sealed record VisitModelCheck(int Index, CheckAnswer Check, string Title, IReadOnlyList<string> VetFirst)
{
    /// <summary>The member of the report that it fills.</summary>
    public string Member => FormattableString.Invariant($"/checks/{Index}");

    /// <summary>Whether it can be reported as done: a vet's check and a re-measure close by themselves, and nothing is done before the vet.</summary>
    public bool CanBeDone => VetFirst.Count == 0 && Check.Kind is Engine.Checks.CheckKind.Fit or Engine.Checks.CheckKind.Flocking or Engine.Checks.CheckKind.Refit;
}
