using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;
using BackTracker.Service.Features.Assessments;

namespace BackTracker.Service.Features.Fit;

/// <summary>What the horse carries.</summary>
/// <param name="RiderAndTackKg">Rider and all tack, kg.</param>
/// <param name="HorseKg">Weight of the horse as it was found last, kg.</param>
/// <param name="Share">The one over the other.</param>
/// <param name="Text">In words.</param>
public sealed record LoadAnswer(double RiderAndTackKg, double HorseKg, double Share, string Text)
{
    public static LoadAnswer Of(CarriedLoad load, CheckPolicy policy) => new(load.RiderAndTackKg, load.HorseKg, load.Share, load.Text(policy));
}

/// <summary>Tree against back on a day.</summary>
/// <param name="PairingId">The pairing.</param>
/// <param name="AsOf">The day known: nothing that happened later was looked at.</param>
/// <param name="On">The day the answer is about; a forecast where it is later than the day known.</param>
/// <param name="Findings">By measure and from front to rear, unknown ones last.</param>
/// <param name="Missing">Which measurements would bring what could not be had.</param>
/// <param name="Load">What the horse carries; null where rider, tack or horse were not weighed.</param>
/// <param name="Cautions">What to keep in mind.</param>
public sealed record FitAnswer(
    string PairingId, DateOnly AsOf, DateOnly On, IReadOnlyList<FindingDocument> Findings, IReadOnlyList<string> Missing, LoadAnswer? Load,
    IReadOnlyList<string> Cautions);

/// <summary>Risk of a day.</summary>
/// <param name="Day">The day.</param>
/// <param name="DaysAhead">Days after the day known.</param>
/// <param name="ProbabilityOutOn">Probability of being out of tolerance on it.</param>
/// <param name="ProbabilityOutBy">Probability of having been out by it.</param>
public sealed record RiskDayAnswer(DateOnly Day, int DaysAhead, double ProbabilityOutOn, double ProbabilityOutBy);

/// <summary>Risk of one measure, or of all together.</summary>
/// <param name="Key">Which finding; "overall" for all together.</param>
/// <param name="Measure">What is compared; "overall" for all together.</param>
/// <param name="Station">Station it is at or near; null where none lies within 60 mm, for all together and for what is of the whole saddle.</param>
/// <param name="Side">Left or right; null where it is of both sides together.</param>
/// <param name="LeavesToleranceOn">First days by which the probability reaches 20 and 50 %.</param>
/// <param name="ExpectedOutOn">First day on which the expected value is beyond a limit; null where it stays inside.</param>
/// <param name="Days">Every day ahead.</param>
public sealed record RiskAnswer(
    string Key, string Measure, string? Station, Side? Side, LeavesTolerance LeavesToleranceOn, DateOnly? ExpectedOutOn, IReadOnlyList<RiskDayAnswer> Days)
{
    public static RiskAnswer Of(RiskCurve curve, DateOnly asOf) => new(
        curve.Key.ToString(), MeasureFacts.Name(curve.Key.Measure), curve.Near?.ToString(), curve.Key.Side,
        new(curve.ReachedOn(.2, asOf), curve.ReachedOn(.5, asOf)), curve.ExpectedOutOn, DaysOf(curve.Days, asOf));

    public static RiskAnswer Overall(PairingForecast forecast, DateOnly asOf) => new(
        "overall", "overall", null, null, new(forecast.ReachedOn(.2, asOf), forecast.ReachedOn(.5, asOf)), forecast.ExpectedOutOn, DaysOf(forecast.Overall, asOf));

    private static RiskDayAnswer[] DaysOf(IReadOnlyList<RiskDay> days, DateOnly asOf) =>
        [.. days.Where(d => d.Day >= asOf).Select(d => new RiskDayAnswer(d.Day, d.Day.DayNumber - asOf.DayNumber, d.OutOn, d.OutBy))];
}

/// <summary>The finding that goes first.</summary>
/// <param name="Key">Which finding.</param>
/// <param name="Measure">What is compared.</param>
/// <param name="Station">Station it is at or near, within 60 mm.</param>
/// <param name="Side">Left or right; null where it is of both sides together.</param>
/// <param name="Text">How it stands on the day known, in words.</param>
public sealed record DriverAnswer(string Key, string Measure, string? Station, Side? Side, string Text);

/// <summary>Between which values the overall probability at the end lies, whether the findings move as one or on their own.</summary>
/// <param name="Low">They move as one.</param>
/// <param name="High">They move on their own.</param>
public sealed record BoundsAnswer(double Low, double High);

/// <summary>When a pairing leaves tolerance.</summary>
/// <param name="PairingId">The pairing.</param>
/// <param name="AsOf">The day known.</param>
/// <param name="Overall">All measures together that move with the back; null where nothing can be compared.</param>
/// <param name="OverallBounds">Bounds of the overall probability at the end of the horizon.</param>
/// <param name="DrivenBy">Station of the finding that goes first, or the one within 60 mm of it.</param>
/// <param name="Driver">The finding that goes first.</param>
/// <param name="Measures">Each measure.</param>
/// <param name="Missing">Which measurements would bring what could not be had.</param>
/// <param name="Cautions">What to keep in mind.</param>
public sealed record PairingForecastAnswer(
    string PairingId, DateOnly AsOf, RiskAnswer? Overall, BoundsAnswer? OverallBounds, string? DrivenBy, DriverAnswer? Driver,
    IReadOnlyList<RiskAnswer> Measures, IReadOnlyList<string> Missing, IReadOnlyList<string> Cautions)
{
    public static PairingForecastAnswer Of(string pairingId, PairingFit fit, DateOnly asOf, DateOnly last)
    {
        if (!PairingForecast.TryMake(fit, last, out var forecast))
            return new(pairingId, asOf, null, null, null, null, [], fit.Missing, Engine.Checks.Cautions.ForFit);
        var end = forecast.Overall[^1].Day;
        var (low, high) = forecast.BoundsBy(end);
        var driver = forecast.DriverBy(forecast.ReachedOn(.2, asOf) ?? end);
        var text = fit.On(asOf).First(finding => finding.Key == driver.Key).Text;
        return new(
            pairingId, asOf, RiskAnswer.Overall(forecast, asOf), new(low, high), driver.Near?.ToString(),
            new(driver.Key.ToString(), MeasureFacts.Name(driver.Key.Measure), driver.Near?.ToString(), driver.Key.Side, text),
            [.. forecast.Measures.Select(curve => RiskAnswer.Of(curve, asOf))], fit.Missing, Engine.Checks.Cautions.ForFit);
    }
}
