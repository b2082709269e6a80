using BackTracker.Engine.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Simulation;

/// <summary>Whether a forecast was made within 120 days after something changed the pace of the back.</summary>
public enum EventNearby
{
    /// <summary>Nothing had.</summary>
    None,

    /// <summary>It was written down.</summary>
    Known,

    /// <summary>Nobody wrote it down.</summary>
    Unknown,
}

/// <summary>A forecast of a simulated back, held against its true width.</summary>
/// <param name="Class">What the horse did.</param>
/// <param name="DaysAhead">How far ahead.</param>
/// <param name="Nearby">What had happened shortly before.</param>
/// <param name="IsInside">Whether the truth lay inside the band of 80 %.</param>
/// <param name="ErrorMm">Forecast less truth, mm.</param>
/// <param name="OtherErrorMm">The same of what the forecast is held against, mm: the median of the last three sessions, or another forecast.</param>
public readonly record struct ForecastTrial(SimulatedClass Class, int DaysAhead, EventNearby Nearby, bool IsInside, double ErrorMm, double OtherErrorMm);

/// <summary>Forecasts simulated backs by the very trends that are used today, from sessions at no plan, and holds them against the truth.</summary>
public static class ForecastStudy
{
    private const int LeastSessions = 5;
    private const int ForecastsOfEach = 5;
    private const int NearDays = 120;

    /// <summary>Days for which a horse is measured: three years.</summary>
    public const int MeasuredDays = 1095;

    /// <summary>How far ahead is forecast, days.</summary>
    public static IReadOnlyList<int> Horizons { get; } = [28, 56, 84];

    /// <summary>Days of life a horse needs.</summary>
    public static int LifeDays => MeasuredDays + Horizons[^1] + 1;

    /// <summary>Five forecasts of a horse, made on days of sessions from the fifth on, at every horizon.</summary>
    public static IReadOnlyList<ForecastTrial> Of(SimulatedHorse horse, TrendModel model)
    {
        ArgumentNullException.ThrowIfNull(horse);
        var days = horse.UnplannedDays(MeasuredDays);
        var facts = horse.MeasuredOn(days);
        return [.. Chosen(horse, days).SelectMany(day => From(day, horse, facts, model))];
    }

    private static IEnumerable<int> Chosen(SimulatedHorse horse, IReadOnlyList<int> days)
    {
        var draws = Draws.Of(horse.Seed, (int)horse.Class, horse.Index, int.MaxValue);
        return days.Skip(LeastSessions - 1).Select(day => (Day: day, Lot: draws.Share())).OrderBy(item => item.Lot).Take(ForecastsOfEach).Select(item => item.Day).Order();
    }

    private static IEnumerable<ForecastTrial> From(int day, SimulatedHorse horse, HorseFacts facts, TrendModel model)
    {
        var trend = MetricTrend.Fit(SeriesBuilder.Build(facts, SimulatedHorse.Measured, SimulatedHorse.Date(day)), model);
        var median = trend.Series.Points.TakeLast(3).Select(point => point.Mean).Order().ElementAt(1);
        foreach (var ahead in Horizons)
        {
            var forecast = trend.On(SimulatedHorse.Date(day + ahead));
            var truth = horse.WidthsMm[day + ahead];
            var inside = truth >= forecast.Quantile(.1) && truth <= forecast.Quantile(.9);
            yield return new ForecastTrial(horse.Class, ahead, NearbyOf(horse, day), inside, forecast.Mean - truth, median - truth);
        }
    }

    private static EventNearby NearbyOf(SimulatedHorse horse, int day)
    {
        var near = horse.Events.Where(item => item.Day <= day && day - item.Day <= NearDays).ToList();
        return near.Count == 0 ? EventNearby.None : near.Exists(item => item.IsKnown) ? EventNearby.Known : EventNearby.Unknown;
    }
}
