using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Assessments;
using BackTracker.Storage;
using BackTracker.Storage.Rides;

namespace BackTracker.Service.Features.Rides;

/// <summary>A ride to record.</summary>
public sealed record RideRequest
{
    /// <summary>Its day: today or earlier.</summary>
    [Required]
    public DateOnly? RiddenOn { get; init; }

    /// <summary>How long, in minutes.</summary>
    [Required, Range(1, 720)]
    public int? Minutes { get; init; }

    /// <summary>The saddle it was ridden in; paired with the horse on that day.</summary>
    [Required]
    public string? SaddleId { get; init; }

    public RideRow ToRow(string id, string horseId, string saddleId, string createdAt) => new()
    {
        Id = id,
        HorseId = horseId,
        SaddleId = saddleId,
        RiddenOn = Instants.WriteDay(RiddenOn!.Value),
        Minutes = Minutes!.Value,
        Version = 1,
        CreatedAt = createdAt,
    };
}

/// <summary>A ride.</summary>
/// <param name="Id">Id.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="RiddenOn">Its day.</param>
/// <param name="Minutes">How long, in minutes.</param>
/// <param name="SaddleId">The saddle.</param>
/// <param name="VoidedAt">When it was voided; null while it counts.</param>
/// <param name="VoidReason">Why it was voided.</param>
/// <param name="CreatedAt">When it was recorded.</param>
public sealed record RideAnswer(
    string Id, string HorseId, DateOnly RiddenOn, int Minutes, string SaddleId, string? VoidedAt, string? VoidReason, string CreatedAt)
{
    public static RideAnswer Of(RideRow row) => new(
        row.Id, row.HorseId, Instants.ReadDay(row.RiddenOn), row.Minutes, row.SaddleId, row.VoidedAt, row.VoidReason, row.CreatedAt);
}

/// <summary>Stored rides as the engine takes them.</summary>
internal static class RideFacts
{
    public static RideFact ToFact(RideRow row) => new(row.Id, Instants.ReadDay(row.RiddenOn), row.HorseId, row.SaddleId, row.Minutes);
}
