using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Commissions;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Commissions;

namespace BackTracker.Service.Features.Commissions;

/// <summary>A saddle that is made to measure for a horse.</summary>
public sealed record CommissionRequest : ICheckedRequest
{
    /// <summary>The horse. Set once.</summary>
    [Required]
    public string? HorseId { get; init; }

    /// <summary>The saddle that is being made, registered in the horse's yard. Set once.</summary>
    [Required]
    public string? SaddleId { get; init; }

    /// <summary>Who makes it: a person with the role saddler.</summary>
    [Required]
    public string? SaddlerId { get; init; }

    /// <summary>Day of the order: today or earlier.</summary>
    [Required]
    public DateOnly? OrderedOn { get; init; }

    /// <summary>The day it is to come home.</summary>
    [Required]
    public DateOnly? DeliveryOn { get; init; }

    /// <summary>The tree that is ordered, with the panel that is planned under it.</summary>
    [Required]
    public TreeRequest? OrderedTree { get; init; }

    /// <summary>Where the tree's front edge is to lie behind T8, mm (negative = in front of it).</summary>
    [Range(-300.0, 300.0)]
    public double? TreeFrontFromT8Mm { get; init; }

    /// <summary>Thickness of the pad that is to lie under the finished saddle, mm.</summary>
    [Range(0.0, 60.0)]
    public double? PadMm { get; init; }

    /// <summary>Anything else.</summary>
    [StringLength(2000)]
    public string? Note { get; init; }

    public void Check(Faults faults)
    {
        if (DeliveryOn < OrderedOn)
            faults.Add("/deliveryOn", "It cannot come home before it was ordered.");
        if (OrderedTree!.Stations!.Any(station => !station.ByWidths) && OrderedTree.Panel is null)
            faults.Add("/orderedTree/panel", "Say how thick the panel is planned: a bare tree against the skin reads a whole fitting wrong.");
    }

    /// <summary>The commission with what is asked for.</summary>
    public CommissionRow Onto(CommissionRow before, string saddlerId) => before with
    {
        SaddlerId = saddlerId,
        OrderedOn = Instants.WriteDay(OrderedOn!.Value),
        DeliveryOn = Instants.WriteDay(DeliveryOn!.Value),
        OrderedTree = Json.Write(OrderedTree),
        TreeFrontFromT8Mm = TreeFrontFromT8Mm,
        PadMm = PadMm,
        Note = Note,
    };
}

/// <summary>A step to the next stage.</summary>
public sealed record StageRequest
{
    /// <summary>The stage that is reached.</summary>
    [Required]
    public CommissionStage? Stage { get; init; }

    /// <summary>The day: today or earlier, not before the step before.</summary>
    [Required]
    public DateOnly? On { get; init; }

    /// <summary>Anything to say of it.</summary>
    [StringLength(2000)]
    public string? Note { get; init; }

    /// <summary>The measurement it rests on: needed for `measured`; of a template the last one, unless said.</summary>
    public string? MeasurementId { get; init; }

    /// <summary>Why a template that is too old is used all the same; kept.</summary>
    [StringLength(1000, MinimumLength = 1)]
    public string? OverrideReason { get; init; }
}

/// <summary>Room over the spine of the delivered saddle.</summary>
public sealed record ClearanceRequest
{
    /// <summary>The day: today or earlier, not before delivery.</summary>
    [Required]
    public DateOnly? On { get; init; }

    /// <summary>Hours ridden in it by then; left out where rides are recorded or the pairing says how much is ridden in a week.</summary>
    [Range(0.0, 5000.0)]
    public double? RiddenHours { get; init; }

    /// <summary>Room between spine and saddle under the rider, at its narrowest, mm.</summary>
    [Required, Range(0.0, 150.0)]
    public double? ClearanceMm { get; init; }

    /// <summary>What is made of it.</summary>
    [Required]
    public ItemVerdict? Verdict { get; init; }

    /// <summary>Anything else.</summary>
    [StringLength(2000)]
    public string? Note { get; init; }
}
