using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Pages;

namespace BackTracker.Service.Features.Checks;

/// <summary>What the page of a check shows.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="Today">Today in the yard.</param>
/// <param name="Check">The check.</param>
/// <param name="Version">Its version, as forms send it back.</param>
public sealed record CheckModel(Named Yard, DateOnly Today, CheckAnswer Check, string Version)
{
    /// <summary>The saddle's label; null where the check is for the horse.</summary>
    public required string? Saddle { get; init; }

    /// <summary>Who comes; null where nobody is named.</summary>
    public required string? Fitter { get; init; }

    /// <summary>Who did it; null where nobody is named.</summary>
    public required string? DoneBy { get; init; }

    /// <summary>What was altered on the saddle during the check.</summary>
    public required IReadOnlyList<AdjustmentAnswer> Altered { get; init; }

    /// <summary>Its life, first to last.</summary>
    public required IReadOnlyList<CheckStepLine> Steps { get; init; }

    /// <summary>Open signs that a vet has to look at first.</summary>
    public required IReadOnlyList<Named> VetFirst { get; init; }

    /// <summary>The forms that are shown.</summary>
    public required IReadOnlyDictionary<CheckMove, FormState> Forms { get; init; }

    /// <summary>Moves that the check takes and this key may not make.</summary>
    public required IReadOnlyList<CheckMove> ForOthers { get; init; }

    /// <summary>Whether this key may record a measurement.</summary>
    public required bool MayRecord { get; init; }

    /// <summary>What was refused of a form that is no longer there, in words.</summary>
    public required IReadOnlyList<string> Refused { get; init; }

    /// <summary>Who can come.</summary>
    public required IReadOnlyList<(string Value, string Text)> Comers { get; init; }

    /// <summary>Who can have done it.</summary>
    public required IReadOnlyList<(string Value, string Text)> Doers { get; init; }

    /// <summary>Whether the saddle is looked at, rather than the horse.</summary>
    public bool IsOfSaddle => Check.Kind is CheckKind.Fit or CheckKind.Flocking or CheckKind.Refit;
}

/// <summary>A step in the life of a check, for people.</summary>
/// <param name="On">The day in the yard.</param>
/// <param name="Text">What happened and why.</param>
public sealed record CheckStepLine(DateOnly On, string Text);
