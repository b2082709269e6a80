using System.ComponentModel.DataAnnotations;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Pairings;

namespace BackTracker.Service.Features.Pairings;

/// <summary>A horse and a saddle that is ridden on it.</summary>
public sealed record PairingRequest : ICheckedRequest
{
    /// <summary>The horse. Set once.</summary>
    [Required]
    public string? HorseId { get; init; }

    /// <summary>The saddle. Set once.</summary>
    [Required]
    public string? SaddleId { get; init; }

    /// <summary>First day the saddle is used on the horse.</summary>
    [Required]
    public DateOnly? From { get; init; }

    /// <summary>Last day; left out while it is in use.</summary>
    public DateOnly? To { get; init; }

    /// <summary>Front edge of the tree behind T8, mm (negative = in front of it).</summary>
    [Range(-300.0, 300.0)]
    public double? TreeFrontFromT8Mm { get; init; }

    /// <summary>Thickness of the pad under the saddle, mm.</summary>
    [Range(0.0, 60.0)]
    public double? PadMm { get; init; }

    /// <summary>Weight of the rider, kg.</summary>
    [Range(10.0, 200.0)]
    public double? RiderWeightKg { get; init; }

    /// <summary>Weight of all tack, kg.</summary>
    [Range(0.0, 60.0)]
    public double? TackWeightKg { get; init; }

    /// <summary>Ridden minutes a week; 0 where nobody rides in it, left out where nobody says.</summary>
    [Range(0, 5000)]
    public int? WeeklyMinutes { get; init; }

    /// <summary>Limits of its own.</summary>
    public TolerancesRequest? Tolerances { get; init; }

    public void Check(Faults faults)
    {
        if (To < From)
            faults.Add("/to", "It cannot end before it begins.");
    }

    public PairingRow ToRow(string id, string horseId, string saddleId, long version, string createdAt) => new()
    {
        Id = id,
        HorseId = horseId,
        SaddleId = saddleId,
        FromDay = Instants.WriteDay(From!.Value),
        ToDay = To is { } day ? Instants.WriteDay(day) : null,
        TreeFrontFromT8Mm = TreeFrontFromT8Mm,
        PadMm = PadMm,
        RiderWeightKg = RiderWeightKg,
        TackWeightKg = TackWeightKg,
        WeeklyMinutes = WeeklyMinutes,
        Tolerances = Tolerances is null ? null : Json.Write(Tolerances),
        Version = version,
        CreatedAt = createdAt,
    };
}

/// <summary>A horse and a saddle that is ridden on it.</summary>
/// <param name="Id">Id.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="SaddleId">The saddle.</param>
/// <param name="From">First day.</param>
/// <param name="To">Last day; null while it is in use.</param>
/// <param name="TreeFrontFromT8Mm">Front edge of the tree behind T8, mm.</param>
/// <param name="PadMm">Thickness of the pad, mm.</param>
/// <param name="RiderWeightKg">Weight of the rider, kg.</param>
/// <param name="TackWeightKg">Weight of all tack, kg.</param>
/// <param name="WeeklyMinutes">Ridden minutes a week.</param>
/// <param name="Tolerances">Limits that apply, defaults filled in.</param>
/// <param name="CreatedAt">When it was made.</param>
public sealed record PairingAnswer(
    string Id, string HorseId, string SaddleId, DateOnly From, DateOnly? To, double? TreeFrontFromT8Mm, double? PadMm, double? RiderWeightKg,
    double? TackWeightKg, int? WeeklyMinutes, TolerancesAnswer Tolerances, string CreatedAt)
{
    public static PairingAnswer Of(PairingRow row) => new(
        row.Id, row.HorseId, row.SaddleId, Instants.ReadDay(row.FromDay), Instants.ReadDayIfAny(row.ToDay),
        row.TreeFrontFromT8Mm, row.PadMm, row.RiderWeightKg, row.TackWeightKg, row.WeeklyMinutes, TolerancesAnswer.Of(PairingFacts.TolerancesOf(row)), row.CreatedAt);
}
