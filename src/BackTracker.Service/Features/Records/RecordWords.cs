using System.Globalization;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Features.Trends;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Measurements;

namespace BackTracker.Service.Features.Records;

/// <summary>A horse's record in words.</summary>
internal static class RecordWords
{
    public const int UpperMm = 30;
    public const int LowerMm = 150;
    private const double Normal95 = 1.96;

    /// <summary>Who the horse is, one thing a line.</summary>
    public static IEnumerable<string> Identity(HorseAnswer horse, DateOnly today) => new[]
    {
        $"{horse.Name}.",
        HorseWords.What(horse, today),
        horse.BornOn is { } born ? $"Born on {Engine.Words.Day(born)}." : "",
        horse.Microchip is { } chip ? $"Microchip {chip}." : "",
        horse.Ueln is { } number ? $"Life number {number}." : "",
        horse.MatureHeightMm is { } height ? string.Create(CultureInfo.InvariantCulture, $"{height:0} mm at the withers when grown.") : "",
        HorseWords.Gone(horse.Status),
        horse is { Phase: { } phase, PhaseFrom: { } from } ? $"{FollowWords.Name(phase)} since {Engine.Words.Day(from)}." : "",
        horse.Notes ?? "",
    }.Where(line => line.Length > 0);

    /// <summary>How a measure moves; null where it was never measured before work.</summary>
    public static RecordTrend? Trend(HorseTrends trends, Metric metric, DateOnly today)
    {
        if (!trends.TryGet(metric, out var trend))
            return null;
        var answer = TrendAnswer.Of(trend, trends.Facts, today, 0);
        return new RecordTrend(MetricWords.Heading(metric), $"{MetricWords.Number(metric, answer.Level)} ± {MetricWords.Amount(metric, Normal95 * answer.LevelSe)}", answer.Text);
    }

    /// <summary>A measurement in a line.</summary>
    /// <param name="row">As it is stored.</param>
    /// <param name="how">Who measured with what.</param>
    public static RecordMeasurement Measured(MeasurementRow row, string how)
    {
        var values = Json.Read<MeasuredValues>(row.Body);
        List<(Metric Metric, double Value)> derived = [.. DerivedValues.Of(values).Where(value => value.Note is null || value.Metric.Contains("width", StringComparison.Ordinal)).Select(value => (MetricOf(value), value.Value))];
        string[] others =
        [
            .. derived.Where(value => value.Metric.Quantity == Quantity.Dip).Select(Said),
            .. MeasurementRules.Scalars(values).Where(scalar => scalar.Value is not null).Select(scalar => Said((scalar.Metric, scalar.Value!.Value))),
            Circumstances.Stance(values),
        ];
        return new RecordMeasurement(
            Instants.ReadDay(row.MeasuredOn), Engine.Words.Sentence(how["by ".Length..]), Widths([.. derived.Where(value => value.Metric.Quantity == Quantity.Width)]),
            Engine.Words.Sentence(string.Join(", ", others.Where(said => said.Length > 0))), values.Note ?? "");
    }

    // "T8 118/272, T13 ..." at the usual depths; where they were not both measured, whatever was, with its depth.
    private static string Widths(List<(Metric Metric, double Value)> widths) => string.Join(", ", widths.GroupBy(width => width.Metric.Station).OrderBy(station => station.Key).Select(station =>
    {
        List<(Metric Metric, double Value)> usual = [.. station.Where(width => width.Metric.DepthMm is UpperMm or LowerMm).OrderBy(width => width.Metric.DepthMm)];
        return usual.Count == 2
            ? $"{station.Key} {string.Join('/', usual.Select(Number))}"
            : $"{station.Key} {string.Join(", ", station.OrderBy(width => width.Metric.DepthMm).Select(width => $"{Number(width)} at {width.Metric.DepthMm}"))}";
    }));

    private static string Number((Metric Metric, double Value) width) => MetricWords.Number(width.Metric, width.Value);

    private static string Said((Metric Metric, double Value) value) => $"{MetricWords.Bare(value.Metric)} {MetricWords.Amount(value.Metric, value.Value)}";

    private static Metric MetricOf(DerivedValue value) => Metric.TryParse(value.Metric, out var metric) ? metric : throw new InvalidOperationException($"'{value.Metric}' is no metric.");
}
