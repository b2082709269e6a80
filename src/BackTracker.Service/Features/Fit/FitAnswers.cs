using BackTracker.Engine.Forecasts;
using BackTracker.Service.Features.Assessments;

namespace BackTracker.Service.Features.Fit;

/// <summary>Tree against back on a day.</summary>
/// <param name="PairingId">The pairing.</param>
/// <param name="AsOf">The day known: nothing that happened later was looked at.</param>
/// <param name="On">The day the answer is about; a forecast where it is later than the day known.</param>
/// <param name="Findings">From front to rear.</param>
/// <param name="Missing">Which measurements would bring what could not be had.</param>
/// <param name="Cautions">What to keep in mind.</param>
internal sealed record FitAnswer(
    string PairingId, DateOnly AsOf, DateOnly On, IReadOnlyList<FindingDocument> Findings, IReadOnlyList<string> Missing, IReadOnlyList<string> Cautions);

/// <summary>Risk of a day.</summary>
/// <param name="Day">The day.</param>
/// <param name="DaysAhead">Days after the day known.</param>
/// <param name="ProbabilityOutOn">Probability of being out of tolerance on it.</param>
/// <param name="ProbabilityOutBy">Probability of having been out by it.</param>
internal sealed record RiskDayAnswer(DateOnly Day, int DaysAhead, double ProbabilityOutOn, double ProbabilityOutBy);

/// <summary>Risk of one measure, or of all together.</summary>
/// <param name="Measure">What is compared; "overall" for all together.</param>
/// <param name="Station">Where along the back; null for all together.</param>
/// <param name="LeavesToleranceOn">First days by which the probability reaches 20 and 50 %.</param>
/// <param name="ExpectedOutOn">First day on which the expected value is beyond a limit; null where it stays inside.</param>
/// <param name="Days">Every day ahead.</param>
internal sealed record RiskAnswer(string Measure, string? Station, LeavesTolerance LeavesToleranceOn, DateOnly? ExpectedOutOn, IReadOnlyList<RiskDayAnswer> Days);

/// <summary>Between which values the overall probability at the end lies, whether the stations move together or on their own.</summary>
/// <param name="Low">They move together.</param>
/// <param name="High">They move on their own.</param>
internal sealed record BoundsAnswer(double Low, double High);

/// <summary>When a pairing leaves tolerance.</summary>
/// <param name="PairingId">The pairing.</param>
/// <param name="AsOf">The day known.</param>
/// <param name="Overall">All measures together; null where nothing can be compared.</param>
/// <param name="OverallBounds">Bounds of the overall probability at the end of the horizon.</param>
/// <param name="DrivenBy">The station that contributes most.</param>
/// <param name="Measures">Each measure.</param>
/// <param name="Missing">Which measurements would bring what could not be had.</param>
/// <param name="Cautions">What to keep in mind.</param>
internal sealed record PairingForecastAnswer(
    string PairingId, DateOnly AsOf, RiskAnswer? Overall, BoundsAnswer? OverallBounds, string? DrivenBy, IReadOnlyList<RiskAnswer> Measures,
    IReadOnlyList<string> Missing, IReadOnlyList<string> Cautions)
{
    public static PairingForecastAnswer Of(string pairingId, PairingForecast forecast, DateOnly asOf)
    {
        var end = forecast.Overall[^1].Day;
        var (low, high) = forecast.BoundsBy(end);
        var expected = forecast.Measures.Min(m => m.ExpectedOutOn);
        return new(
            pairingId, asOf, Risk("overall", null, forecast.Overall, forecast.ReachedOn, expected, asOf), new(low, high),
            forecast.DriverBy(forecast.ReachedOn(.2, asOf) ?? end).Station.ToString(),
            [.. forecast.Measures.Select(m => Risk(Engine.Fit.WidthFinding.MeasureName, m.Station.ToString(), m.Days, m.ReachedOn, m.ExpectedOutOn, asOf))],
            [], Engine.Checks.Cautions.ForFit);
    }

    public static PairingForecastAnswer None(string pairingId, DateOnly asOf, IReadOnlyList<string> missing) =>
        new(pairingId, asOf, null, null, null, [], missing, Engine.Checks.Cautions.ForFit);

    private static RiskAnswer Risk(
        string measure, string? station, IReadOnlyList<RiskDay> days, Func<double, DateOnly, DateOnly?> reachedOn, DateOnly? expectedOutOn, DateOnly asOf) => new(
        measure, station, new(reachedOn(.2, asOf), reachedOn(.5, asOf)), expectedOutOn,
        [.. days.Where(d => d.Day >= asOf).Select(d => new RiskDayAnswer(d.Day, d.Day.DayNumber - asOf.DayNumber, d.OutOn, d.OutBy))]);
}
