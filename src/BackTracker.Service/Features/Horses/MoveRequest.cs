using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;

namespace BackTracker.Service.Features.Horses;

/// <summary>A move to record: to another yard or to another status, one of the two.</summary>
public sealed record MoveRequest : ICheckedRequest
{
    /// <summary>Day of the move, not later than today.</summary>
    [Required]
    public DateOnly? On { get; init; }

    /// <summary>The yard it went to.</summary>
    public string? ToYardId { get; init; }

    /// <summary>Its new status: sold, retired or died; active when it comes back.</summary>
    public HorseStatus? Status { get; init; }

    public void Check(Faults faults)
    {
        if (ToYardId is null == Status is null)
            faults.Add("/toYardId", "Say either toYardId (it went to another yard) or status (sold, retired, died, or active when it comes back), one of the two.");
    }

    public MoveRow ToRow(string id, HorseRow horse, string? toYardId, string createdAt) => new()
    {
        Id = id,
        HorseId = horse.Id,
        OnDay = Instants.WriteDay(On!.Value),
        FromYardId = horse.YardId,
        ToYardId = toYardId,
        Status = Status is { } status ? Words.Write(status) : null,
        CreatedAt = createdAt,
    };
}

/// <summary>A move.</summary>
/// <param name="Id">Id.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="On">Day of the move.</param>
/// <param name="FromYardId">The yard it stood in; null where this key does not see that yard.</param>
/// <param name="ToYardId">The yard it went to; null where its status changed or this key does not see that yard.</param>
/// <param name="Status">Its new status; null where it went to another yard.</param>
/// <param name="CreatedAt">When it was recorded.</param>
public sealed record MoveAnswer(
    string Id, string HorseId, DateOnly On, string? FromYardId, string? ToYardId, HorseStatus? Status, string CreatedAt)
{
    public static MoveAnswer Of(MoveRow row, Sight sight) => new(
        row.Id, row.HorseId, Instants.ReadDay(row.OnDay),
        sight.Covers(row.FromYardId) ? row.FromYardId : null,
        row.ToYardId is { } to && sight.Covers(to) ? to : null,
        row.Status is null ? null : Words.Read<HorseStatus>(row.Status), row.CreatedAt);
}
