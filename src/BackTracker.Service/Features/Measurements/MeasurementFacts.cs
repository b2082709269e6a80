using System.Collections.Concurrent;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Measurements;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Stored measurements as the engine takes them.</summary>
internal static class MeasurementFacts
{
    // Some 20 MB at most.
    private const int MostKept = 4096;
    private static readonly ConcurrentDictionary<(string Id, int Body), SessionFact> Kept = new();

    /// <summary>A measurement as the engine takes it. What a measurement holds never changes, and reading its traces takes longest of all: it is kept.</summary>
    public static SessionFact ToSession(MeasurementRow row)
    {
        if (Kept.Count > MostKept)
            Kept.Clear();
        return Kept.GetOrAdd((row.Id, row.Body.GetHashCode(StringComparison.Ordinal)), _ => Read(row));
    }

    /// <summary>The same of one whose readings are at hand.</summary>
    public static SessionFact ToSession(MeasurementRow row, IReadOnlyList<Reading> readings) => new(row.Id, Instants.ReadDay(row.MeasuredOn), Words.Read<ExerciseState>(row.Exercise), readings);

    private static SessionFact Read(MeasurementRow row)
    {
        var values = Json.Read<MeasuredValues>(row.Body);
        return new SessionFact(row.Id, Instants.ReadDay(row.MeasuredOn), Words.Read<ExerciseState>(row.Exercise), Readings(values))
        {
            MeasuredBy = row.MeasuredBy ?? "",
            Method = Words.Read<MeasuringMethod>(row.Method),
            StationPositionsMm = (values.StationPositionsMm ?? new Dictionary<string, double>()).ToDictionary(position => StationOf(position.Key), position => position.Value),
            Topline = values.Topline is { } topline ? PointRules.Of(topline) : [],
        };
    }

    private static Station StationOf(string name) =>
        Station.TryParse(name, out var station) ? station : throw new InvalidOperationException($"The position of '{name}' was not checked.");

    /// <summary>
    /// Every value read, repeats in order of their number. A width beside a trace of the same place is another repeat. What is told of a single
    /// drawing (its widths, its asymmetry) is a reading; what follows from several values or their means is not.
    /// </summary>
    public static IReadOnlyList<Reading> Readings(MeasuredValues values)
    {
        var readings = new List<Reading>();
        foreach (var width in InOrder(values.Widths ?? []))
            AddWidth(readings, width);
        foreach (var (station, section) in Sections(values))
            readings.AddRange(SectionReadings.Of(station, section));
        if (values.Topline is { } topline)
            readings.Add(new Reading(new Metric(Quantity.Dip), Topline.Of(PointRules.Of(topline)).DipMm));
        foreach (var (_, metric, value) in MeasurementRules.Scalars(values))
            if (value is { } measured)
                readings.Add(new Reading(metric, measured));
        return readings;
    }

    /// <summary>
    /// The traces as cross-sections by station and repeat. On entry all of them could be read; one that an earlier version let in although
    /// it cannot be read tells nothing, and must not keep the horse from being assessed.
    /// </summary>
    public static IEnumerable<(Station Station, Section Section)> Sections(MeasuredValues values)
    {
        foreach (var trace in (values.Traces ?? []).OrderBy(t => t.Place()).ThenBy(t => t.Turn()))
        {
            if (trace.TryRead(out var section, out _))
                yield return (trace.Place(), section);
        }
    }

    private static PlacedWidth[] InOrder(IReadOnlyList<WidthValues> widths)
    {
        var placed = new PlacedWidth[widths.Count];
        for (var i = 0; i < placed.Length; i++)
            placed[i] = new PlacedWidth(widths[i].Place(), widths[i].DepthMm!.Value, widths[i].Turn(), widths[i]);
        Array.Sort(placed);
        return placed;
    }

    private static void AddWidth(List<Reading> readings, PlacedWidth width)
    {
        var (station, depthMm) = (width.Station, width.DepthMm);
        readings.Add(new Reading(Metric.Width(station, depthMm), width.Values.WidthMm!.Value));
        if (width.Values is not { LeftHalfMm: { } left, RightHalfMm: { } right })
            return;
        readings.Add(new Reading(new Metric(Quantity.HalfLeft, station, depthMm), left));
        readings.Add(new Reading(new Metric(Quantity.HalfRight, station, depthMm), right));
        readings.Add(new Reading(new Metric(Quantity.Asymmetry, station, depthMm), 200 * (right - left) / (left + right)));
    }

    /// <summary>A width with what it is put in order by.</summary>
    private readonly record struct PlacedWidth(Station Station, int DepthMm, int Turn, WidthValues Values) : IComparable<PlacedWidth>
    {
        public int CompareTo(PlacedWidth other) => (Station, DepthMm, Turn).CompareTo((other.Station, other.DepthMm, other.Turn));
    }
}
