using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Between what people fill in on the measure form and what is recorded.</summary>
internal static class MeasureForm
{
    private const string OnClock = "yyyy-MM-dd'T'HH:mm";
    private static readonly string[] Stations = ["T8", "T13", "T18"];
    private static readonly int[] DepthsMm = [150, 30];
    private static readonly int[] Repeats = [1, 2];

    /// <summary>Reads the form; its times are on the yard's clock.</summary>
    public static FormJson Read(IFormCollection fields, string zone) => new(fields, (pointer, text) => pointer.Split('/')[^1] switch
    {
        "measuredAt" => JsonValue.Create(Instant(pointer, text, zone)),
        "points" or "topline" or "level" => new JsonArray([.. Points(pointer, text).Select(Pair)]),
        "midline" => Points(pointer, text) is [var only] ? Pair(only) : throw ProblemException.Impossible(pointer, "The midline is one point: write its x and y with a blank between."),
        _ => null,
    });

    /// <summary>The usual places with widths or with drawings, and all that a measurement holds that is taken again.</summary>
    public static MeasurePlaces Places(MeasureBy by, MeasuredValues recorded)
    {
        var drawn = by == MeasureBy.Traces || recorded.Traces is { Count: > 0 } || recorded.Topline is not null || recorded.StationPositionsMm is { Count: > 0 };
        var widths = recorded.Widths is { Count: > 0 } || !drawn ? WidthPlaces(recorded.Widths ?? []) : [];
        return new MeasurePlaces(widths, drawn ? TracePlaces(recorded.Traces ?? []) : [], drawn ? [.. Stations[1..].Union(recorded.StationPositionsMm?.Keys ?? [])] : []);
    }

    /// <summary>What was measured, as it is filled in.</summary>
    public static IEnumerable<(string Name, string Value)> Filled(MeasuredValues values, MeasurePlaces places) =>
    [
        .. places.Widths.SelectMany(place => (values.Widths ?? []).Where(w => w.Station == place.Station && w.DepthMm == place.DepthMm && w.Turn() == place.Repeat)
            .SelectMany(w => Numbers((place.Name + "/widthMm", w.WidthMm), (place.Name + "/leftHalfMm", w.LeftHalfMm), (place.Name + "/rightHalfMm", w.RightHalfMm)))),
        .. places.Traces.SelectMany(place => (values.Traces ?? []).Where(t => t.Station == place.Station && t.Turn() == place.Repeat).SelectMany(t => Drawn(place, t))),
        .. Numbers([.. MeasurementRules.Scalars(values).Select(s => ("/" + s.Member, s.Value))]),
        .. Numbers([.. (values.StationPositionsMm ?? new Dictionary<string, double>()).Select(p => ($"/stationPositionsMm/{p.Key}", (double?)p.Value))]),
        ("/topline", TraceText.Write(values.Topline ?? [])),
        ("/stance/square", values.Stance?.Square is { } square ? square ? "true" : "false" : ""),
        ("/stance/head", values.Stance?.Head is { } head ? Words.Write(head) : ""),
        ("/note", values.Note ?? ""),
    ];

    /// <summary>An instant as the yard's clock shows it.</summary>
    public static string Clock(string zone, DateTimeOffset instant) => YardTime.Local(zone, instant).ToString(OnClock, CultureInfo.InvariantCulture);

    /// <summary>The first field about a station; empty where there is none.</summary>
    public static string FieldAt(string? station, MeasurePlaces places) =>
        places.Widths.FirstOrDefault(w => w.Station == station) is { } width ? width.Name + "/widthMm"
        : places.Traces.FirstOrDefault(t => t.Station == station) is { } trace ? trace.Name + "/points"
        : "";

    private static List<WidthPlace> WidthPlaces(IReadOnlyList<WidthValues> recorded) =>
    [
        .. (from station in Stations from depth in DepthsMm from repeat in Repeats select (Station: station, DepthMm: depth, Repeat: repeat))
            .Union(recorded.Select(w => (Station: w.Station!, DepthMm: w.DepthMm!.Value, Repeat: w.Turn())))
            .OrderBy(place => StationOf(place.Station)).ThenBy(place => place.DepthMm).ThenBy(place => place.Repeat)
            .Select((place, at) => new WidthPlace($"/widths/{at}", place.Station, place.DepthMm, place.Repeat)),
    ];

    private static List<TracePlace> TracePlaces(IReadOnlyList<TraceValues> recorded) =>
    [
        .. (from station in Stations from repeat in Repeats select (Station: station, Repeat: repeat))
            .Union(recorded.Select(t => (Station: t.Station!, Repeat: t.Turn())))
            .OrderBy(place => StationOf(place.Station)).ThenBy(place => place.Repeat)
            .Select((place, at) => new TracePlace($"/traces/{at}", place.Station, place.Repeat)),
    ];

    private static IEnumerable<(string Name, string Value)> Drawn(TracePlace place, TraceValues trace) =>
    [
        (place.Name + "/points", TraceText.Write(trace.Points!)),
        (place.Name + "/midline", trace.Midline is null ? "" : TraceText.Write([trace.Midline])),
        (place.Name + "/level", TraceText.Write(trace.Level ?? [])),
    ];

    private static IEnumerable<(string Name, string Value)> Numbers(params (string Name, double? Value)[] numbers) =>
        numbers.Where(n => n.Value is not null).Select(n => (n.Name, n.Value!.Value.ToString(CultureInfo.InvariantCulture)));

    private static Station StationOf(string name) => Station.TryParse(name, out var station) ? station : default;

    private static IReadOnlyList<PointMm> Points(string pointer, string text) =>
        TraceText.TryRead(text, out var points, out var fault) ? points : throw ProblemException.Impossible(pointer, fault);

    private static JsonNode Pair(PointMm point) => new JsonArray(point.X, point.Y);

    private static string Instant(string pointer, string text, string zone)
    {
        if (!DateTime.TryParseExact(text.Trim(), [OnClock, OnClock + "':'ss"], CultureInfo.InvariantCulture, DateTimeStyles.None, out var local))
            throw ProblemException.Impossible(pointer, "Write day and time as 2026-03-14T09:30.");
        return YardTime.TryInstant(zone, local, out var instant)
            ? instant.ToString("yyyy-MM-dd'T'HH:mm:sszzz", CultureInfo.InvariantCulture)
            : throw ProblemException.Impossible(pointer, "This hour did not exist in the yard: the clocks went forward. Look at the time.");
    }
}

/// <summary>What the form asks for.</summary>
internal enum MeasureBy
{
    Widths,
    Traces,
}
