using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;

namespace BackTracker.Engine.Checks;

/// <summary>Checks caused by findings: out now, or on the way out.</summary>
internal static class RiskCauses
{
    /// <summary>
    /// A refit within a few days for every finding that is out: flocking cannot alter a width. Where somebody has looked at it since it
    /// went out and the numbers did not change, the yard measures again instead.
    /// </summary>
    public static IEnumerable<WantedCheck> OutNow(Situation situation)
    {
        foreach (var view in situation.Pairings)
        {
            foreach (var finding in view.Findings.Where(finding => finding.Severity == Severity.Out))
            {
                if (!view.IsLookedAt(finding))
                    yield return Refit(situation, view, finding);
                else if (situation.LastSession is { } last && last.On < view.LastFitOn)
                    yield return MeasureAgain(situation, view, finding);
            }
        }
    }

    /// <summary>
    /// A fit check when the risk of a pairing reaches the limit, or a re-measure where it does so only because the last one is getting
    /// old. None while a finding is out already: the refit answers that, and none after a fit check inside the window until something
    /// new is known, because the forecast has nothing to add to what the fitter saw.
    /// </summary>
    public static IEnumerable<WantedCheck> Risk(Situation situation)
    {
        foreach (var view in situation.Pairings)
        {
            if (view.Forecast is { } forecast && RiskOf(situation, view, forecast) is { } wanted)
                yield return wanted;
        }
    }

    private static WantedCheck? RiskOf(Situation situation, PairingView view, PairingForecast forecast)
    {
        var policy = situation.Policy;
        if (view.Findings.Any(finding => finding.Severity == Severity.Out) || forecast.ReachedOn(policy.RiskLimit, situation.Today) is not { } due)
            return null;
        var begins = forecast.Overall[0];
        var opens = forecast.ReachedOn(policy.RiskLimit / 2, begins.Day)!.Value;
        if (view.LastFitOn >= opens)
            return null;
        var closing = forecast.ReachedOn(policy.RiskClosing, due) ?? due.AddDays(policy.WindowDays);
        var closes = closing > due ? closing : due;
        var driver = forecast.DriverBy(due);
        var finding = view.Findings.Single(finding => finding.Station == driver.Station);
        if (forecast.ExpectedToLeave || begins.OutBy >= policy.RiskLimit)
            return Deadlines.Visit(situation, view.Pairing, opens, due, closes, Urgency.Now, Leaving(finding, forecast, policy, due));
        var measure = Deadlines.Measurement(situation, due, GettingOld(situation, finding, begins.Day, policy, due));
        return measure with { Days = measure.Days with { OpensOn = opens, ClosesOn = closes } };
    }

    private static Reason Leaving(WidthFinding finding, PairingForecast forecast, CheckPolicy policy, DateOnly due)
    {
        var limit = Words.Percent(policy.RiskLimit);
        var reached = due > finding.On
            ? $"chance of being out reaches {limit} on {Words.Day(due)}."
            : $"chance that the saddle is out somewhere is {Words.Percent(forecast.At(due).OutBy)} already (limit {limit}).";
        return new Reason(
            Cause.Risk, $"{FitWords.Mismatch(finding.Station, finding.Numbers!.Value, finding.Limits)}: {reached}",
            due, finding.Measure, finding.Station.ToString(), policy.RiskLimit, "probability", null);
    }

    private static Reason GettingOld(Situation situation, WidthFinding finding, DateOnly since, CheckPolicy policy, DateOnly due) => new(
        Cause.ForecastWide,
        $"Nothing new is known at {finding.Station} since {Words.Day(since)}: chance of being out reaches {Words.Percent(policy.RiskLimit)} on {Words.Day(due)} unless it is measured again.",
        due, finding.Measure, finding.Station.ToString(), policy.RiskLimit, "probability", situation.LastSession?.Id);

    private static WantedCheck Refit(Situation situation, PairingView view, WidthFinding finding)
    {
        var numbers = finding.Numbers!.Value;
        var text = $"{FitWords.Mismatch(finding.Station, numbers, finding.Limits)}: chance of being out {Words.Percent(numbers.ProbabilityOut)}. Do not ride in it until it has been looked at.";
        return Deadlines.AtOnce(
            situation, CheckKind.Refit, view.Pairing.Id, situation.Today.AddDays(situation.Policy.OutNowDays),
            new Reason(Cause.OutNow, text, finding.On, finding.Measure, finding.Station.ToString(), numbers.MismatchMm, "mm", null));
    }

    private static WantedCheck MeasureAgain(Situation situation, PairingView view, WidthFinding finding)
    {
        var looked = view.LastFitOn!.Value;
        var text = $"{view.Pairing.SaddleLabel} was looked at on {Words.Day(looked)} and is still out by the numbers at {finding.Station}: measure again.";
        return Deadlines.Measurement(situation, situation.Today, new Reason(
            Cause.OutNow, text, looked, finding.Measure, finding.Station.ToString(), finding.Numbers!.Value.MismatchMm, "mm", view.Pairing.Id));
    }
}
