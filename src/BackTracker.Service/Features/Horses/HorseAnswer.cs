using BackTracker.Engine.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;

namespace BackTracker.Service.Features.Horses;

/// <summary>A horse.</summary>
/// <param name="Id">Id.</param>
/// <param name="YardId">The yard it stands in, or last stood in.</param>
/// <param name="Name">What the yard calls it.</param>
/// <param name="BornOn">Birth date.</param>
/// <param name="Sex">Sex.</param>
/// <param name="Breed">Breed.</param>
/// <param name="Microchip">Transponder number, 15 digits.</param>
/// <param name="Ueln">Universal equine life number, 15 characters.</param>
/// <param name="MatureHeightMm">Height at the withers it has or is expected to reach when grown, mm.</param>
/// <param name="Notes">Anything else.</param>
/// <param name="Status">Whether it is looked after.</param>
/// <param name="Phase">Training phase it is in today, in its yard's time zone; null where none has begun.</param>
/// <param name="PhaseFrom">First day of that phase.</param>
/// <param name="CreatedAt">When it was registered.</param>
public sealed record HorseAnswer(
    string Id, string YardId, string Name, DateOnly? BornOn, Sex? Sex, string? Breed, string? Microchip, string? Ueln,
    double? MatureHeightMm, string? Notes, HorseStatus Status, Phase? Phase, DateOnly? PhaseFrom, string CreatedAt)
{
    public static HorseAnswer Of(HorseRow row, HorsePhases phases) => new(
        row.Id, row.YardId, row.Name, Instants.ReadDayIfAny(row.BornOn),
        row.Sex is null ? null : Words.Read<Sex>(row.Sex), row.Breed, row.Microchip, row.Ueln, row.MatureHeightMm, row.Notes,
        Words.Read<HorseStatus>(row.Status),
        phases.Current is null ? null : Words.Read<Phase>(phases.Current.Phase),
        phases.Current is null ? null : Instants.ReadDay(phases.Current.FromDay),
        row.CreatedAt);
}
