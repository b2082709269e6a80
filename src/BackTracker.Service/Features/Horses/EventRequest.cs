using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;

namespace BackTracker.Service.Features.Horses;

/// <summary>A dated event to record.</summary>
public sealed record EventRequest
{
    /// <summary>Its day; at most two years ahead, and ahead only where it is planned.</summary>
    [Required]
    public DateOnly? On { get; init; }

    /// <summary>What happened or is planned.</summary>
    [Required]
    public EventKind? Kind { get; init; }

    /// <summary>Whether it is planned rather than seen: needed for a day still to come.</summary>
    public bool? Planned { get; init; }

    /// <summary>Anything else.</summary>
    [StringLength(2000)]
    public string? Note { get; init; }

    public EventRow ToRow(string id, string horseId, string createdAt) => new()
    {
        Id = id,
        HorseId = horseId,
        OnDay = Instants.WriteDay(On!.Value),
        Kind = Words.Write(Kind!.Value),
        Planned = Planned is true ? 1 : 0,
        Note = Note,
        Version = 1,
        CreatedAt = createdAt,
    };
}

/// <summary>A dated event.</summary>
/// <param name="Id">Id.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="On">Its day.</param>
/// <param name="Kind">What happened or is planned.</param>
/// <param name="Planned">Whether it was recorded as planned.</param>
/// <param name="Note">Anything else.</param>
/// <param name="VoidedAt">When it was voided; null while it counts.</param>
/// <param name="VoidReason">Why it was voided.</param>
/// <param name="CreatedAt">When it was recorded.</param>
public sealed record EventAnswer(
    string Id, string HorseId, DateOnly On, EventKind Kind, bool Planned, string? Note, string? VoidedAt, string? VoidReason, string CreatedAt)
{
    public static EventAnswer Of(EventRow row) => new(
        row.Id, row.HorseId, Instants.ReadDay(row.OnDay), Words.Read<EventKind>(row.Kind), row.Planned == 1, row.Note,
        row.VoidedAt, row.VoidReason, row.CreatedAt);
}
