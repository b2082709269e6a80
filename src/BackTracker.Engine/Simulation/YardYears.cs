using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Simulation;

/// <summary>What a way of working cost and saved, per horse and year.</summary>
/// <param name="Way">The way.</param>
/// <param name="DaysOut">Days truly out of tolerance.</param>
/// <param name="Visits">Fitter's visits.</param>
/// <param name="Measurements">Measurements by the yard.</param>
/// <param name="OurDaysOut">Days out by the usual policy over those of this way, of the same horses.</param>
/// <param name="OurVisits">Visits by the usual policy over those of this way, of the same horses.</param>
public sealed record YardYearsRow(string Way, Estimate DaysOut, Estimate Visits, Estimate Measurements, Estimate OurDaysOut, Estimate OurVisits)
{
    /// <summary>Sums up one way beside the usual policy.</summary>
    /// <param name="way">The way.</param>
    /// <param name="lives">Lives it made, horse by horse.</param>
    /// <param name="ours">Lives of the same horses by the usual policy.</param>
    public static YardYearsRow Of(string way, IReadOnlyList<LifeTally> lives, IReadOnlyList<LifeTally> ours)
    {
        double[] daysOut = [.. lives.Select(life => life.DaysOutAYear)], visits = [.. lives.Select(life => life.VisitsAYear)];
        return new YardYearsRow(
            way, Bootstrap.Mean(daysOut), Bootstrap.Mean(visits), Bootstrap.Mean([.. lives.Select(life => life.MeasurementsAYear)]),
            Bootstrap.Ratio([.. ours.Select(life => life.DaysOutAYear)], daysOut), Bootstrap.Ratio([.. ours.Select(life => life.VisitsAYear)], visits));
    }
}

/// <summary>Something that is aimed at: the usual policy against another way of working.</summary>
/// <param name="Way">The other way.</param>
/// <param name="MostDaysOut">Most days out, as a share of those of the other way.</param>
/// <param name="MostVisits">Most visits, as a share of those of the other way; infinite where none is aimed at.</param>
public sealed record YardAim(string Way, double MostDaysOut, double MostVisits)
{
    /// <summary>Whether the figures reach it, by their best guess; how sure that is, their intervals tell.</summary>
    public bool IsMetBy(YardYearsRow row) => row.OurDaysOut.Value <= MostDaysOut && row.OurVisits.Value <= MostVisits;
}

/// <summary>The ways of working that are compared.</summary>
public static class YardYears
{
    private static readonly double[] OtherLimits = [.10, .30, .45];
    private static readonly int[] CalendarWeeks = [26, 16, 12, 8];

    /// <summary>The usual policy first.</summary>
    /// <param name="usual">Its settings.</param>
    public static IReadOnlyList<WayOfWorking> Ways(CheckPolicy usual) =>
    [
        new PolicyWay("as installed", usual),
        .. OtherLimits.Select(limit => new PolicyWay($"risk limit {Words.Percent(limit)}", usual with { RiskLimit = limit })),
        new PolicyWay("fit checks by risk alone (every 52 weeks at least)", usual with { WatchedFitWeeks = 52, SteadyFitWeeks = 52 }),
        .. CalendarWeeks.Select(weeks => new CalendarWay(weeks)),
        new CalendarAndEventsWay(12, 6),
        new ReactiveWay(4),
    ];

    /// <summary>What is aimed at.</summary>
    public static IReadOnlyList<YardAim> Aims { get; } =
    [
        new(new CalendarWay(26).Name, .25, 1),
        new(new CalendarWay(8).Name, 1, 1.0 / 3),
        new(new ReactiveWay(4).Name, .5, double.PositiveInfinity),
    ];
}
