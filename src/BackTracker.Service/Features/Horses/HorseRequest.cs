using System.ComponentModel.DataAnnotations;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;

namespace BackTracker.Service.Features.Horses;

/// <summary>Sex of a horse.</summary>
public enum Sex
{
    Mare,
    Gelding,
    Stallion,
}

/// <summary>A horse to register or change.</summary>
public sealed record HorseRequest : ICheckedRequest
{
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
        if (BornOn < HorseDays.Earliest)
            faults.Add("/bornOn", "A birth date lies in or after 1960. Leave it out where it is not known.");
        if (Microchip is not null && !Engine.Measures.Microchip.TryParse(Microchip, out _))
            faults.Add("/microchip", "A microchip number has 15 digits (ISO 11784): 3 of a country or manufacturer, then 12 of the animal, at most 274877906943. Read it from the scanner again.");
        if (Ueln is not null && !Engine.Measures.Ueln.TryParse(Ueln, out _))
            faults.Add("/ueln", "A UELN has 15 letters and digits, beginning with the 3 digits of a country. Copy it from the passport again.");
    }

    /// <param name="before">The horse as it is, or a new row with id, yard, status, version and date.</param>
    public HorseRow ToRow(HorseRow before) => before with
    {
        Name = Name!,
        BornOn = BornOn is { } day ? Instants.WriteDay(day) : null,
        Sex = Sex is { } sex ? Words.Write(sex) : null,
        Breed = Breed,
        Microchip = Engine.Measures.Microchip.TryParse(Microchip, out var chip) ? chip.Digits : null,
        Ueln = Engine.Measures.Ueln.TryParse(Ueln, out var ueln) ? ueln.Text : null,
        MatureHeightMm = MatureHeightMm,
        Notes = Notes,
    };
}
