using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Pictures;

namespace BackTracker.Service.Features.Trends;

/// <summary>Pictures of trends, from the same numbers as the answers.</summary>
internal static class TrendPictures
{
    private const int StepDays = 7;

    /// <summary>The picture of a trend, twelve weeks ahead.</summary>
    /// <param name="trends">Trends of what was known of the horse.</param>
    /// <param name="trend">Which of them.</param>
    /// <param name="day">The day known.</param>
    /// <param name="frame">Where the picture is to stand.</param>
    public static string Of(HorseTrends trends, MetricTrend trend, DateOnly day, PictureFrame frame) => TrendPicture.Draw(Drawing(trends, trend, day), frame);

    /// <summary>What that picture shows, for whoever draws it several times or says it in words.</summary>
    public static TrendDrawing Drawing(HorseTrends trends, MetricTrend trend, DateOnly day)
    {
        var answer = TrendAnswer.Of(trend, trends.Facts, day, TrendEndpoints.DefaultHorizonDays);
        var last = answer.Points[^1].Day;
        return new TrendDrawing(
            trends.Facts.HorseName, MetricWords.Name(trend.Series.Metric), answer.Unit, day, answer.Text,
            [.. answer.Points.Select(p => new DrawnPoint(p.Day, p.Value, p.Se, p.OutlierProbability))],
            [.. answer.Smoothed.Select(s => new DrawnLevel(s.Day, s.Level))],
            [.. SinceLast(trend, last, day), .. answer.Forecast.Where(f => f.DaysAhead % StepDays == 0).Select(Drawn)],
            ToleranceOf(trends.Facts, trend.Series.Metric, day), MarksOf(trends.Facts, day));
    }

    // Nobody has measured since the last session: from there on it is a forecast, today among its days.
    private static IEnumerable<DrawnForecast> SinceLast(MetricTrend trend, DateOnly last, DateOnly day)
    {
        var days = Math.Max(0, day.DayNumber - last.DayNumber);
        var step = Math.Max(StepDays, days / 20);
        return Enumerable.Range(0, ((days - 1) / step) + 1).Select(i => i * step).Where(since => since < days).Append(days)
            .Select(since => Drawn(ForecastAnswer.Of(trend, last, since)));
    }

    private static DrawnForecast Drawn(ForecastAnswer answer) => new(answer.Day, answer.Level, Band(answer.Band50), Band(answer.Band80), Band(answer.Band95));

    private static DrawnBand Band(IReadOnlyList<double> ends) => new(ends[0], ends[1]);

    // Of several saddles in use the one that came last.
    private static DrawnTolerance? ToleranceOf(HorseFacts facts, Metric metric, DateOnly day)
    {
        if (metric is not { Quantity: Quantity.Width, DepthMm: WidthFit.DepthMm, Station: { } station })
            return null;
        return InUse(facts, day)
            .SelectMany(pairing => (EffectiveTree.On(pairing, day)?.Widths ?? []).Where(width => width.Station == station)
                .Select(width => (pairing.SaddleLabel, width.Width150Mm, Limits: pairing.Tolerances.Of(Measure.Width150))))
            .Select(tree => new DrawnTolerance(tree.SaddleLabel, tree.Width150Mm - tree.Limits.OutAbove, tree.Width150Mm - tree.Limits.OutBelow))
            .FirstOrDefault();
    }

    private static IEnumerable<PairingFact> InUse(HorseFacts facts, DateOnly day) => facts.Pairings
        .Where(pairing => pairing.From <= day && !(pairing.To < day)).OrderByDescending(pairing => pairing.From).ThenBy(pairing => pairing.Id, StringComparer.Ordinal);

    private static List<DrawnMark> MarksOf(HorseFacts facts, DateOnly day) =>
    [
        .. InUse(facts, day).SelectMany(pairing => pairing.Adjustments).DistinctBy(done => done.Id).Where(done => done.On <= day).Select(done => new DrawnMark(done.On, Words(done.Kind)))
            .Concat(facts.Checks.Where(check => check.State == CheckState.Done && check.Kind != CheckKind.Remeasure && check.DoneOn <= day)
                .Select(check => new DrawnMark(check.DoneOn!.Value, Words(check.Kind))))
            .Distinct().OrderBy(mark => mark.Day),
    ];

    private static string Words(AdjustmentKind kind) => kind switch
    {
        AdjustmentKind.Flocking => "flocked",
        AdjustmentKind.Tree => "tree altered",
        AdjustmentKind.Shim => "shimmed",
        AdjustmentKind.Pad => "pad changed",
        AdjustmentKind.Balance => "balanced",
        _ => "repaired",
    };

    private static string Words(CheckKind kind) => kind switch
    {
        CheckKind.Flocking => "flocking check",
        CheckKind.Fit => "fit check",
        CheckKind.Refit => "refit",
        _ => "vet",
    };
}
