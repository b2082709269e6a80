using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;

namespace BackTracker.Service.Features.Horses;

/// <summary>A training phase to record.</summary>
public sealed record PhaseRequest
{
    /// <summary>The phase.</summary>
    [Required]
    public Phase? Phase { get; init; }

    /// <summary>First day, at most two years ahead; it lasts until the next phase begins.</summary>
    [Required]
    public DateOnly? From { get; init; }

    public PhaseRow ToRow(string id, string horseId, string createdAt) => new()
    {
        Id = id,
        HorseId = horseId,
        FromDay = Instants.WriteDay(From!.Value),
        Phase = Words.Write(Phase!.Value),
        Version = 1,
        CreatedAt = createdAt,
    };
}

/// <summary>A training phase.</summary>
/// <param name="Id">Id.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="Phase">The phase.</param>
/// <param name="From">First day.</param>
/// <param name="VoidedAt">When it was voided; null while it counts.</param>
/// <param name="VoidReason">Why it was voided.</param>
/// <param name="CreatedAt">When it was recorded.</param>
public sealed record PhaseAnswer(
    string Id, string HorseId, Phase Phase, DateOnly From, string? VoidedAt, string? VoidReason, string CreatedAt)
{
    public static PhaseAnswer Of(PhaseRow row) => new(
        row.Id, row.HorseId, Words.Read<Phase>(row.Phase), Instants.ReadDay(row.FromDay), row.VoidedAt, row.VoidReason, row.CreatedAt);
}
