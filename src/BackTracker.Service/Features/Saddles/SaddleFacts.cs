using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Saddles;

namespace BackTracker.Service.Features.Saddles;

/// <summary>Stored saddles as the engine takes them.</summary>
internal static class SaddleFacts
{
    public static TreeShapeFact ToFact(TreeShapeRow row) => ToFact(row.Id, Instants.ReadDay(row.FromDay), Json.Read<TreeShapeRequest>(row.Body));

    /// <summary>A shape by its widths, by its sides, or by both.</summary>
    public static TreeShapeFact ToFact(string id, DateOnly from, TreeRequest shape) => new(
        id, from, [.. shape.Stations!.Where(s => s.ByWidths).Select(s => new TreeWidth(s.Place(), s.Width150Mm!.Value) { Width30Mm = s.Width30Mm })])
    {
        Stations = [.. shape.Stations!.Where(s => !s.ByWidths).Select(s => new TreeStation(s.FromFrontMm!.Value, s.ChannelHeightMm!.Value, SideOf(s.Left!), SideOf(s.Right!)))],
        BearingLengthMm = shape.BearingLengthMm ?? 0,
        PanelMm = shape.Panel?.ThicknessMm ?? 0,
    };

    private static TreeSide SideOf(TreeSideRequest side) => side.Surface is { } surface
        ? new TreeSide(side.ChannelHalfMm!.Value, side.BearingMm!.Value, side.InnerDepthMm!.Value, [.. surface.Select(point => new PointMm(point[0], point[1]))])
        : TreeSide.Flat(side.ChannelHalfMm!.Value, side.BearingMm!.Value, side.InnerDepthMm!.Value, side.AngleDeg!.Value);

    public static AdjustmentFact ToFact(AdjustmentRow row) => new(
        row.Id, Instants.ReadDay(row.DoneOn), Words.Read<AdjustmentKind>(row.Kind), [.. Json.Read<ZoneRequest[]>(row.Zones).Select(ToChange)]);

    public static ZoneChange ToChange(ZoneRequest zone) => new(zone.Side!.Value, zone.Zone!.Value, zone.Mm!.Value);
}
