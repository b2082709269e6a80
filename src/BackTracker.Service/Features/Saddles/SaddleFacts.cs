using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Saddles;

namespace BackTracker.Service.Features.Saddles;

/// <summary>Stored saddles as the engine takes them.</summary>
internal static class SaddleFacts
{
    /// <summary>A shape by its widths; stations given by their sides carry none.</summary>
    public static TreeShapeFact ToFact(TreeShapeRow row) => new(
        row.Id, Instants.ReadDay(row.FromDay),
        [
            .. Json.Read<TreeShapeRequest>(row.Body).Stations!.Where(s => s is { Station: not null, Width150Mm: not null })
                .Select(s => Station.TryParse(s.Station, out var station)
                    ? new TreeWidth(station, s.Width150Mm!.Value)
                    : throw new FormatException($"Tree shape {row.Id} holds the station {s.Station}.")),
        ]);

    public static AdjustmentFact ToFact(AdjustmentRow row) => new(
        row.Id, Instants.ReadDay(row.DoneOn), Words.Read<AdjustmentKind>(row.Kind),
        [.. Json.Read<ZoneRequest[]>(row.Zones).Select(z => new ZoneChange(z.Side!.Value, z.Zone!.Value, z.Mm!.Value))]);
}
