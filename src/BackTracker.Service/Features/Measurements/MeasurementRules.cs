using BackTracker.Engine.Measures;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Measurements;

/// <summary>What a measuring session as a whole has to satisfy.</summary>
internal static class MeasurementRules
{
    public const string StationHint = "A station is a thoracic vertebra from T5 to T18, written T13.";
    private const double ShortestToplineMm = 200;
    private const double LeastPitchMm = 20;
    private const double LargestPitchMm = 90;
    private static readonly Box AlongTheBack = new(-800, 2000, -600, 600);
    private static readonly Station Origin = Station.Of(8);

    public static void Check(Faults faults, MeasuredValues values)
    {
        if (values.Traces is not { Count: > 0 } && values.Widths is not { Count: > 0 } && values.Topline is null && !Scalars(values).Any(s => s.Value is not null))
            faults.Add("/", "Nothing was measured. Give widths, traces, a topline or at least one of the other measures.");
        foreach (var (member, metric, value) in Scalars(values))
            CheckPlausible(faults, "/" + member, metric, value);
        CheckDoubles(faults, "/widths", values.Widths, w => (w.Station, w.DepthMm, w.Turn()));
        CheckDoubles(faults, "/traces", values.Traces, t => (t.Station, t.Turn()));
        CheckTopline(faults, values);
        CheckPositions(faults, values.StationPositionsMm ?? new Dictionary<string, double>());
    }

    /// <summary>The measures of the whole horse: member of the request, metric and value.</summary>
    public static IEnumerable<(string Member, Metric Metric, double? Value)> Scalars(MeasuredValues values) =>
    [
        ("supportLengthMm", new Metric(Quantity.SupportLength), values.SupportLengthMm),
        ("withersHeightMm", new Metric(Quantity.WithersHeight), values.WithersHeightMm),
        ("croupHeightMm", new Metric(Quantity.CroupHeight), values.CroupHeightMm),
        ("girthMm", new Metric(Quantity.Girth), values.GirthMm),
        ("bodyLengthMm", new Metric(Quantity.BodyLength), values.BodyLengthMm),
        ("weightKg", new Metric(Quantity.Weight), values.WeightKg),
        ("conditionScore1to9", new Metric(Quantity.ConditionScore1to9), values.ConditionScore1to9),
        ("neckScore0to5", new Metric(Quantity.NeckScore0to5), values.NeckScore0to5),
    ];

    public static void CheckPlausible(Faults faults, string pointer, Metric metric, double? value)
    {
        if (value is { } number && Plausibility.Check(metric, number) is { } fault)
            faults.Add(pointer, fault);
    }

    private static void CheckDoubles<T, TKey>(Faults faults, string pointer, IReadOnlyList<T>? items, Func<T, TKey> key)
    {
        var seen = new HashSet<TKey>();
        for (var i = 0; i < items?.Count; i++)
            if (!seen.Add(key(items[i])))
                faults.Add($"{pointer}/{i}", $"The same place is there twice: {key(items[i])}. Number the repeats 1, 2, 3.");
    }

    private static void CheckTopline(Faults faults, MeasuredValues values)
    {
        if (values.Topline is null)
            return;
        var points = PointRules.Read(faults, "/topline", values.Topline, AlongTheBack);
        if (points.Count > 0 && Math.Abs(points[^1].X - points[0].X) is var length && length < ShortestToplineMm)
            faults.Add("/topline", FormattableString.Invariant($"The topline is {length:0.#} mm long, no back is that short. Were the points in cm? Send mm."));
    }

    private static void CheckPositions(Faults faults, IReadOnlyDictionary<string, double> positions)
    {
        foreach (var (name, position) in positions)
        {
            if (!Station.TryParse(name, out var station))
                faults.Add($"/stationPositionsMm/{name}", StationHint);
            else if (!IsPlausible(position, station.Vertebra - Origin.Vertebra))
                faults.Add($"/stationPositionsMm/{name}", "Positions run from T8 towards the tail in mm: T8 is 0, T13 lies at about 240, T5 is negative.");
        }
    }

    private static bool IsPlausible(double positionMm, int vertebrae) => vertebrae == 0
        ? positionMm == 0
        : positionMm / vertebrae is >= LeastPitchMm and <= LargestPitchMm;
}
