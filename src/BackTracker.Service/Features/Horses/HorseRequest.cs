using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;

namespace BackTracker.Service.Features.Horses;

/// <summary>Sex of a horse.</summary>
internal enum Sex
{
    Mare,
    Gelding,
    Stallion,
}

/// <summary>A horse to register or change.</summary>
internal sealed record HorseRequest : ICheckedRequest
{
    public static readonly DateOnly EarliestBirth = new(1960, 1, 1);

    /// <summary>The yard it stands in. Set once: afterwards only a move changes it.</summary>
    [Required]
    public string? YardId { get; init; }

    /// <summary>What the yard calls it.</summary>
    [Required, StringLength(200, MinimumLength = 1)]
    public string? Name { get; init; }

    /// <summary>Birth date, from 1960-01-01 to today.</summary>
    public DateOnly? BornOn { get; init; }

    /// <summary>Sex.</summary>
    public Sex? Sex { get; init; }

    /// <summary>Breed.</summary>
    [StringLength(200)]
    public string? Breed { get; init; }

    /// <summary>Transponder number, 15 digits (ISO 11784/11785). No other horse may carry it.</summary>
    [StringLength(40)]
    public string? Microchip { get; init; }

    /// <summary>Universal equine life number, 15 characters. No other horse may carry it.</summary>
    [StringLength(40)]
    public string? Ueln { get; init; }

    /// <summary>Height at the withers it has or is expected to reach when grown, mm.</summary>
    [Range(500.0, 2200.0)]
    public double? MatureHeightMm { get; init; }

    /// <summary>Anything else.</summary>
    [StringLength(4000)]
    public string? Notes { get; init; }

    public void Check(Faults faults)
    {
        if (BornOn < EarliestBirth)
            faults.Add("/bornOn", "A birth date lies in or after 1960. Leave it out where it is not known.");
    }

    /// <param name="before">The horse as it is, or a new row with id, yard, status, version and date.</param>
    public HorseRow ToRow(HorseRow before) => before with
    {
        Name = Name!,
        BornOn = BornOn is { } day ? Instants.WriteDay(day) : null,
        Sex = Sex is { } sex ? Words.Write(sex) : null,
        Breed = Breed,
        Microchip = Microchip,
        Ueln = Ueln,
        MatureHeightMm = MatureHeightMm,
        Notes = Notes,
    };
}

/// <summary>A horse.</summary>
/// <param name="Id">Id.</param>
/// <param name="YardId">The yard it stands in, or last stood in.</param>
/// <param name="Name">What the yard calls it.</param>
/// <param name="BornOn">Birth date.</param>
/// <param name="Sex">Sex.</param>
/// <param name="Breed">Breed.</param>
/// <param name="Microchip">Transponder number, 15 digits.</param>
/// <param name="Ueln">Universal equine life number.</param>
/// <param name="MatureHeightMm">Height at the withers it has or is expected to reach when grown, mm.</param>
/// <param name="Notes">Anything else.</param>
/// <param name="Status">Whether it is looked after.</param>
/// <param name="CreatedAt">When it was registered.</param>
internal sealed record HorseAnswer(
    string Id, string YardId, string Name, DateOnly? BornOn, Sex? Sex, string? Breed, string? Microchip, string? Ueln,
    double? MatureHeightMm, string? Notes, HorseStatus Status, string CreatedAt)
{
    public static HorseAnswer Of(HorseRow row) => new(
        row.Id, row.YardId, row.Name, row.BornOn is null ? null : Instants.ReadDay(row.BornOn),
        row.Sex is null ? null : Words.Read<Sex>(row.Sex), row.Breed, row.Microchip, row.Ueln, row.MatureHeightMm, row.Notes,
        Words.Read<HorseStatus>(row.Status), row.CreatedAt);
}
