using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Commissions;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Commissions;

/// <summary>What was found of an item.</summary>
public sealed record TrialItemRequest : ICheckedRequest
{
    /// <summary>The item, such as `contact`; the trial names those that are left.</summary>
    [Required, StringLength(50, MinimumLength = 1)]
    public string? Item { get; init; }

    /// <summary>What was found.</summary>
    [Required]
    public ItemVerdict? Verdict { get; init; }

    /// <summary>By how much to alter, mm: + opens or fills, - closes or takes away.</summary>
    [Range(-50.0, 50.0)]
    public double? Mm { get; init; }

    /// <summary>On which side; left out for both, or where it is of neither.</summary>
    public Side? Side { get; init; }

    /// <summary>In which third of the panel.</summary>
    public Zone? Zone { get; init; }

    /// <summary>What is to be said of it.</summary>
    [StringLength(1000)]
    public string? Note { get; init; }

    public void Check(Faults faults)
    {
        if (TrialItems.Usual.All(item => item.Code != Item))
            faults.Add("/item", $"There is no such item. Use one of: {string.Join(", ", TrialItems.Usual.Select(item => item.Code))}.");
    }

    internal ItemFinding ToFinding() => new(Item!, Verdict!.Value, Mm, Side, Zone, Note ?? "");
}

/// <summary>The saddler's written word that girth straps and stirrup bars bear load.</summary>
public sealed record BearsLoadRequest
{
    /// <summary>Who said so; left out for the saddler of the commission.</summary>
    public string? By { get; init; }

    /// <summary>On which day.</summary>
    [Required]
    public DateOnly? On { get; init; }

    /// <summary>In their own words.</summary>
    [Required, StringLength(1000, MinimumLength = 1)]
    public string? Text { get; init; }
}

/// <summary>What was found in one step of a trial.</summary>
public sealed record TrialRequest : ICheckedRequest
{
    /// <summary>The step.</summary>
    [Required]
    public TrialStep? Step { get; init; }

    /// <summary>The day: today or earlier.</summary>
    [Required]
    public DateOnly? On { get; init; }

    /// <summary>Thickness of the pad under the bare tree when it is pressed together, mm; left out where it was said in an earlier step.</summary>
    [Range(0.0, 60.0)]
    public double? PadMm { get; init; }

    /// <summary>What was found of each item of the step.</summary>
    [Required, MinLength(1), MaxLength(60)]
    public IReadOnlyList<TrialItemRequest>? Items { get; init; }

    /// <summary>The saddler's written word that straps and bars bear load; nobody mounts without it.</summary>
    public BearsLoadRequest? BearsLoad { get; init; }

    public void Check(Faults faults)
    {
        for (var i = 0; i < Items!.Count; i++)
            if (TrialItems.Usual.First(item => item.Code == Items[i].Item).Step is var step && step != Step)
                faults.Add($"/items/{i}/item", $"{Items[i].Item} belongs to the step {Words.Write(step)}.");
    }
}
