using System.ComponentModel.DataAnnotations;
using System.Text.Json.Serialization;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Visits;

/// <summary>Where a visit stands.</summary>
public enum VisitState
{
    Planned,
    Done,
    FellThrough,
}

/// <summary>Plans a visit and books checks for it.</summary>
public sealed record VisitRequest
{
    /// <summary>The yard.</summary>
    [Required]
    public string? YardId { get; init; }

    /// <summary>Who comes; left out where the key belongs to them.</summary>
    public string? FitterId { get; init; }

    /// <summary>Day of the visit.</summary>
    [Required]
    public DateOnly? On { get; init; }

    /// <summary>The checks to be done.</summary>
    [Required, MinLength(1), MaxLength(500)]
    public IReadOnlyList<string>? CheckIds { get; init; }

    /// <summary>Anything to know beforehand.</summary>
    [StringLength(2000)]
    public string? Note { get; init; }
}

/// <summary>Adds checks to a visit.</summary>
public sealed record AddToVisitRequest
{
    /// <summary>The checks to be done as well.</summary>
    [Required, MinLength(1), MaxLength(500)]
    public IReadOnlyList<string>? CheckIds { get; init; }
}

/// <summary>Moves a visit to another day.</summary>
public sealed record MoveVisitRequest
{
    /// <summary>The new day.</summary>
    [Required]
    public DateOnly? On { get; init; }

    /// <summary>Why, in words.</summary>
    [Required, StringLength(1000, MinimumLength = 1)]
    public string? Reason { get; init; }
}

/// <summary>Reports a visit: of every check on it what was done, or why it was not.</summary>
public sealed record CompleteVisitRequest
{
    /// <summary>Day it took place.</summary>
    [Required]
    public DateOnly? On { get; init; }

    /// <summary>Who did it; left out for whoever was to come.</summary>
    public string? By { get; init; }

    /// <summary>Every check of the visit.</summary>
    [Required, MaxLength(500)]
    public IReadOnlyList<VisitedCheck>? Checks { get; init; }

    /// <summary>Anything else.</summary>
    [StringLength(2000)]
    public string? Note { get; init; }
}

/// <summary>What became of one check during a visit.</summary>
public sealed record VisitedCheck : ICheckedRequest
{
    /// <summary>The check.</summary>
    [Required]
    public string? CheckId { get; init; }

    /// <summary>What was found: texts, or objects with text, station, side, value and unit.</summary>
    [MaxLength(100), JsonConverter(typeof(FindingNotesConverter))]
    public IReadOnlyList<FindingNote>? Findings { get; init; }

    /// <summary>What was changed on the saddle.</summary>
    [MaxLength(20)]
    public IReadOnlyList<DoneAdjustment>? Adjustments { get; init; }

    /// <summary>Why it was not done, which leaves it open; left out where it was.</summary>
    [StringLength(1000, MinimumLength = 1)]
    public string? NotDone { get; init; }

    public void Check(Faults faults)
    {
        if (NotDone is not null && (Findings is { Count: > 0 } || Adjustments is { Count: > 0 }))
            faults.Add("/notDone", "A check was done, with what was found and changed, or it was not done. Leave one of them out.");
        Done(default, "").Check(faults);
    }

    /// <summary>The same as the report of a single check.</summary>
    internal CompleteRequest Done(DateOnly on, string by) => new() { On = on, By = by, Findings = Findings, Adjustments = Adjustments };
}
