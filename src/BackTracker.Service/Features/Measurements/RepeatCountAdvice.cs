using System.Globalization;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Says how many repeats would do, where every width of a station was measured less often.</summary>
internal static class RepeatCountAdvice
{
    private static readonly string[] Times = ["", "once", "twice", "three times", "four times"];

    public static IEnumerable<Advice> Of(SessionFact session, List<Repeats> judged, MeasurementErrors errors)
    {
        var widths = judged.FindAll(repeats => repeats.Metric.Quantity == Quantity.Width)
            .ConvertAll(width => new Repeated(width.Metric, width.Values.Count, ErrorOf(errors.RepeatSd(session, width.Metric), width.Metric)));
        return widths.Exists(TooSeldom) ? OfStations(widths) : [];
    }

    private static bool TooSeldom(Repeated width) => width.Count < width.Error.RepeatsThatDo;

    private static IEnumerable<Advice> OfStations(List<Repeated> widths) => widths
        .GroupBy(width => width.Metric.Station)
        .Where(station => station.All(TooSeldom))
        .Select(station => station.MaxBy(width => width.Error.RepeatSd))
        .GroupBy(station => (station.Count, station.Error.RepeatsThatDo))
        .Select(alike => Say([.. alike]));

    // The part between sessions of whoever measured is seldom known: horses are not often measured twice a week.
    private static MeasurementError ErrorOf(double repeatSd, Metric metric) => new(repeatSd, MeasurementError.StartingShare * metric.StartingSessionSd);

    private static Advice Say(Repeated[] stations)
    {
        var (worst, places) = (stations.MaxBy(station => station.Error.RepeatSd), stations.Select(station => station.Metric.Station!.Value.ToString()).ToArray());
        var (count, enough) = (worst.Count, worst.Error.RepeatsThatDo);
        var text = string.Create(CultureInfo.InvariantCulture,
            $"Measured {Times[count]} at {string.Join(", ", places)}: {enough} repeats would do. Between two sessions a width then has to change by {worst.Error.LeastRealChange(enough):0.0} mm to be more than chance, with {count} by {worst.Error.LeastRealChange(count):0.0} mm{(count == 1 ? ", and a slip does not show" : "")}.");
        return new Advice(count == 1 ? "one-repeat" : "few-repeats", text, places is [var only] ? only : null);
    }

    private readonly record struct Repeated(Metric Metric, int Count, MeasurementError Error);
}
