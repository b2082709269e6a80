using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Measurements;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Stored measurements as the engine takes them.</summary>
internal static class MeasurementFacts
{
    public static SessionFact ToSession(MeasurementRow row) => new(
        row.Id, Instants.ReadDay(row.MeasuredOn), Words.Read<ExerciseState>(row.Exercise), Readings(Json.Read<MeasuredValues>(row.Body)));

    /// <summary>Every value read, repeats in order of their number; nothing that was computed from others.</summary>
    public static IReadOnlyList<Reading> Readings(MeasuredValues values) =>
    [
        .. (values.Widths ?? []).OrderBy(w => w.Place()).ThenBy(w => w.DepthMm).ThenBy(w => w.Turn()).SelectMany(OfWidth),
        .. MeasurementRules.Scalars(values).Where(s => s.Value is not null).Select(s => new Reading(s.Metric, s.Value!.Value)),
    ];

    private static IEnumerable<Reading> OfWidth(WidthValues width)
    {
        var station = width.Place();
        yield return new Reading(Metric.Width(station, width.DepthMm!.Value), width.WidthMm!.Value);
        if (width.LeftHalfMm is { } left)
            yield return new Reading(new Metric(Quantity.HalfLeft, station, width.DepthMm), left);
        if (width.RightHalfMm is { } right)
            yield return new Reading(new Metric(Quantity.HalfRight, station, width.DepthMm), right);
    }
}
