using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Saddles;

namespace BackTracker.Service.Features.Saddles;

/// <summary>A change in one zone.</summary>
public sealed record ZoneRequest
{
    /// <summary>Side of the saddle, seen from behind.</summary>
    [Required]
    public Side? Side { get; init; }

    /// <summary>Third of the panel.</summary>
    [Required]
    public Zone? Zone { get; init; }

    /// <summary>Change in mm: + = thicker, or, for the tree, that side opened wider.</summary>
    [Required, Range(-50.0, 50.0)]
    public double? Mm { get; init; }
}

/// <summary>A change to a saddle.</summary>
public sealed record AdjustmentRequest : ICheckedRequest
{
    /// <summary>Day it was done.</summary>
    [Required]
    public DateOnly? DoneOn { get; init; }

    /// <summary>Who did it; left out where the key belongs to them.</summary>
    public string? DoneBy { get; init; }

    /// <summary>What was changed.</summary>
    [Required]
    public AdjustmentKind? Kind { get; init; }

    /// <summary>Where and by how much.</summary>
    [MaxLength(6)]
    public IReadOnlyList<ZoneRequest>? Zones { get; init; }

    /// <summary>Anything else.</summary>
    [StringLength(2000)]
    public string? Note { get; init; }

    // Not public: it would be a member of the JSON.
    internal IReadOnlyList<ZoneRequest> AllZones => Zones ?? [];

    public void Check(Faults faults)
    {
        if (AllZones.Count == 0 && Kind is not (AdjustmentKind.Repair or AdjustmentKind.Balance))
            faults.Add("/zones", "Say where and by how much: side, zone and mm.");
        CheckZones(faults, AllZones);
    }

    /// <summary>Whether the two sides are changed unequally in some zone.</summary>
    public static bool IsUnequal(IReadOnlyList<ZoneRequest> zones) => zones.GroupBy(z => z.Zone).Any(zone =>
        zone.Where(z => z.Side == Side.Left).Sum(z => z.Mm) != zone.Where(z => z.Side == Side.Right).Sum(z => z.Mm));

    /// <summary>Names a side and zone that is there twice.</summary>
    public static void CheckZones(Faults faults, IReadOnlyList<ZoneRequest> zones)
    {
        for (var i = 1; i < zones.Count; i++)
        {
            if (zones.Take(i).Any(z => z.Side == zones[i].Side && z.Zone == zones[i].Zone))
                faults.Add($"/zones/{i}", "This side and zone are there twice: add them up.");
        }
    }
}

/// <summary>A change to a saddle.</summary>
/// <param name="Id">Id.</param>
/// <param name="SaddleId">The saddle.</param>
/// <param name="CheckId">The check it was made during.</param>
/// <param name="DoneOn">Day it was done.</param>
/// <param name="DoneBy">Who did it.</param>
/// <param name="Kind">What was changed.</param>
/// <param name="Zones">Where and by how much.</param>
/// <param name="Note">Anything else.</param>
/// <param name="VoidedAt">When it was voided.</param>
/// <param name="VoidReason">Why.</param>
/// <param name="CreatedAt">When it was recorded.</param>
public sealed record AdjustmentAnswer(
    string Id, string SaddleId, string? CheckId, DateOnly DoneOn, string? DoneBy, AdjustmentKind Kind, IReadOnlyList<ZoneRequest> Zones,
    string? Note, string? VoidedAt, string? VoidReason, string CreatedAt)
{
    public static AdjustmentAnswer Of(AdjustmentRow row) => new(
        row.Id, row.SaddleId, row.CheckId, Instants.ReadDay(row.DoneOn), row.DoneBy, Words.Read<AdjustmentKind>(row.Kind),
        Json.Read<ZoneRequest[]>(row.Zones), row.Note, row.VoidedAt, row.VoidReason, row.CreatedAt);
}
