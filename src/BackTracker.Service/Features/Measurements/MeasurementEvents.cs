using BackTracker.Engine.Alerts;
using BackTracker.Service.Delivery;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Measurements;

/// <summary>What receivers are told of a measuring session.</summary>
/// <param name="MeasurementId">The session.</param>
/// <param name="Version">Its version then.</param>
/// <param name="Link">Where to read it.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="MeasuredOn">Day in the yard.</param>
/// <param name="Corrects">The session it replaces; null where it replaces none.</param>
/// <param name="RepeatAdvised">Codes of the advice to measure again; empty where there is none.</param>
internal sealed record MeasurementData(
    string MeasurementId, long Version, string Link, string HorseId, DateOnly MeasuredOn, string? Corrects, IReadOnlyList<string> RepeatAdvised);

/// <summary>Tells of measuring sessions.</summary>
internal static class MeasurementEvents
{
    public static async Task AddAsync(WriteSession session, HorseRow horse, MeasurementRow row)
    {
        var again = Json.Read<Advice[]>(row.Advice).Where(a => a.AsksForRepeat).Select(a => a.Code).Distinct().ToList();
        var data = Data(row, again);
        await Events.AddAsync(session, EventTypes.MeasurementRecorded, horse.YardId, horse.Id, data);
        if (again.Count > 0)
            await Events.AddAsync(session, EventTypes.MeasurementRepeatAdvised, horse.YardId, horse.Id, data);
    }

    public static MeasurementData Data(MeasurementRow row, IReadOnlyList<string> again) =>
        new(row.Id, row.Version, $"/v1/measurements/{row.Id}", row.HorseId, Instants.ReadDay(row.MeasuredOn), row.Corrects, again);
}
