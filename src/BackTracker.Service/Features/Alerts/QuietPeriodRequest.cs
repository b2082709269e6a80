using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;

namespace BackTracker.Service.Features.Alerts;

/// <summary>Asks that nobody be told of a horse or a yard until a day. Vet-first signs are told all the same.</summary>
public sealed record QuietPeriodRequest : ICheckedRequest
{
    /// <summary>The horse; or name a yard.</summary>
    public string? HorseId { get; init; }

    /// <summary>The yard, for all its horses; or name a horse.</summary>
    public string? YardId { get; init; }

    /// <summary>Only problems of this cause; left out for all.</summary>
    public Cause? Cause { get; init; }

    /// <summary>The last quiet day. What is still open after it is told once.</summary>
    [Required]
    public DateOnly? Until { get; init; }

    /// <summary>Why, in words.</summary>
    [Required, StringLength(500, MinimumLength = 1)]
    public string? Reason { get; init; }

    public void Check(Faults faults)
    {
        if (HorseId is null == YardId is null)
            faults.Add("/horseId", "Name either a horse or a yard.");
        if (Cause == Engine.Checks.Cause.VetFirst)
            faults.Add("/cause", "A vet-first sign is told at once, always: no quiet period covers it.");
    }

    public QuietPeriodRow ToRow(QuietPeriodRow blank) => blank with
    {
        Cause = Cause is { } cause ? Words.Write(cause) : null,
        UntilDay = Instants.WriteDay(Until!.Value),
        Reason = Reason!,
    };
}

/// <summary>A time in which nobody is told, vet-first signs apart.</summary>
/// <param name="Id">Id.</param>
/// <param name="YardId">The yard.</param>
/// <param name="HorseId">The horse; null for the whole yard.</param>
/// <param name="Cause">Only problems of this cause; null for all.</param>
/// <param name="Until">The last quiet day.</param>
/// <param name="Reason">Why.</param>
/// <param name="By">Id of the person who asked for it, where the key belongs to one.</param>
/// <param name="EndedAt">When it was ended before its time.</param>
/// <param name="CreatedAt">When it was asked for.</param>
public sealed record QuietPeriodAnswer(
    string Id, string YardId, string? HorseId, Cause? Cause, DateOnly Until, string Reason, string? By, string? EndedAt, string CreatedAt)
{
    public static QuietPeriodAnswer Of(QuietPeriodRow row) => new(
        row.Id, row.YardId, row.HorseId, row.Cause is null ? null : Words.Read<Cause>(row.Cause), Instants.ReadDay(row.UntilDay), row.Reason,
        row.PersonId, row.EndedAt, row.CreatedAt);
}
