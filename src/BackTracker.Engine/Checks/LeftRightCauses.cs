using System.Globalization;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Checks;

/// <summary>Fit checks because the back grew more or less uneven since the fit was last checked.</summary>
internal static class LeftRightCauses
{
    /// <summary>
    /// A fit check two weeks after the session that showed a change of the left/right difference 150 mm down beyond its least real change
    /// and its own interval (<see cref="MovedMetric.IsReal"/>).
    /// </summary>
    public static IEnumerable<WantedCheck> Changes(Situation situation)
    {
        foreach (var view in situation.Pairings)
        {
            foreach (var metric in MeasuredIn(situation.Facts))
            {
                if (ShownOn(situation, metric, view.CheckedSince) is { } shown)
                    yield return Check(situation, view, shown);
            }
        }
    }

    private static IEnumerable<Metric> MeasuredIn(HorseFacts facts) => SeriesBuilder.Trended(facts)
        .SelectMany(session => session.Readings)
        .Select(reading => reading.Metric)
        .Where(metric => metric is { Quantity: Quantity.Asymmetry, DepthMm: WidthFit.DepthMm })
        .Distinct()
        .OrderBy(metric => metric.Station);

    /// <summary>
    /// The change as it was known after the first of the sessions that all show it, up to the last one; null where the last does not. What
    /// was known then stays the same, so that later sessions do not put the check off.
    /// </summary>
    private static MovedMetric? ShownOn(Situation situation, Metric metric, DateOnly since)
    {
        if (!situation.Trends.TryGet(metric, out var trend))
            return null;
        MovedMetric? first = null;
        var trends = situation.Trends;
        foreach (var day in trend.Points.Select(point => point.On).Where(day => day > since).Distinct().Reverse())
        {
            if (first is not null)
                trends = new HorseTrends(situation.Facts.AsOf(day), situation.Model);
            if (BackMovement.Moved(trends, metric, since, day).FirstOrDefault() is not { IsReal: true } moved)
                break;
            first = moved;
        }
        return first;
    }

    private static WantedCheck Check(Situation situation, PairingView view, MovedMetric moved)
    {
        var due = moved.To.AddDays(situation.Policy.LeftRightChangeDays);
        var session = SeriesBuilder.Trended(situation.Facts).First(session => session.On == moved.To && session.Readings.Any(reading => reading.Metric == moved.Metric));
        var reason = new Reason(
            Cause.LeftRightChange,
            $"Left/right difference at {moved.Metric.Station} changed by {Told(moved.Change)} % from {Words.Day(moved.From)} to {Words.Day(moved.To)} (least real change {Told(moved.LeastRealChange)} %): check the fit.",
            moved.To, moved.Metric.ToString().Split('.')[^1], moved.Metric.Station?.ToString(), moved.Change, moved.Metric.Unit, session.Id);
        var visit = Deadlines.Visit(situation, view.Pairing, moved.To, due, due.AddDays(situation.Policy.WindowDays), Urgency.Soon, reason);
        return visit with { NoticeOn = moved.To };
    }

    private static string Told(double value) => Math.Abs(value).ToString("0.#", CultureInfo.InvariantCulture);
}
