using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;

namespace BackTracker.Engine.Checks;

/// <summary>Checks caused by findings: out now, or on the way out.</summary>
internal static class RiskCauses
{
    /// <summary>
    /// Flocking or a refit within a few days for every finding that is out (<see cref="PairingView.RemedyFor"/>). Where somebody has looked
    /// at it since it went out and the numbers did not change, the yard measures again instead.
    /// </summary>
    public static IEnumerable<WantedCheck> OutNow(Situation situation)
    {
        foreach (var view in situation.Pairings)
        {
            foreach (var finding in view.Out)
            {
                if (!view.IsLookedAt(finding))
                    yield return Mend(situation, view, finding);
                else if (situation.LastSession is { } last && last.On < view.LookedAtOn(finding))
                    yield return MeasureAgain(situation, view, finding);
            }
        }
    }

    /// <summary>
    /// A fit check when the risk of a pairing reaches the limit, or a re-measure where it does so only because the last one is getting
    /// old and, where that is of a width, the fitter can still be booked in time once the next one has spoken. None while a finding is out already: the refit answers
    /// that, and none after a fit check inside the window until something new is known, because the forecast has nothing to add to what the
    /// fitter saw.
    /// </summary>
    public static IEnumerable<WantedCheck> Risk(Situation situation)
    {
        foreach (var view in situation.Pairings)
        {
            if (view.Forecast is { } forecast && RiskOf(situation, view, forecast) is { } wanted)
                yield return wanted;
        }
    }

    /// <summary>Whether the findings of a pairing call for somebody by themselves: one is out, or its risk has a day.</summary>
    public static bool Calls(Situation situation, PairingView view) =>
        view.Out.Any() || (view.Forecast is { } forecast && RiskOf(situation, view, forecast) is not null);

    private static WantedCheck? RiskOf(Situation situation, PairingView view, PairingForecast forecast)
    {
        var policy = view.Policy;
        if (view.Out.Any() || forecast.ReachedOn(policy.RiskLimit, situation.Today) is not { } due)
            return null;
        var begins = forecast.Overall[0];
        var opens = forecast.ReachedOn(policy.RiskLimit / 2, begins.Day)!.Value;
        if (view.LastFitOn >= opens)
            return null;
        var closing = forecast.ReachedOn(policy.RiskClosing, due) ?? due.AddDays(policy.WindowDays);
        var closes = DayOrder.Later(closing, due);
        var driver = forecast.DriverBy(due);
        var finding = view.Findings.Single(finding => finding.Key == driver.Key);
        if (forecast.ExpectedToLeave || begins.OutBy >= policy.RiskLimit || IsTooSoonToMeasureFirst(situation, view, forecast))
            return Deadlines.Visit(situation, view, opens, due, closes, Urgency.Now, Leaving(finding, forecast, policy, due));
        var measure = Deadlines.Measurement(situation, due, GettingOld(situation, finding, begins.Day, policy, due));
        return measure with { Days = measure.Days with { OpensOn = opens, ClosesOn = closes } };
    }

    // A fitter who is booked once the next measurement has spoken would come after that day. For widths alone: they are what is measured. What
    // form comes to is spread so widely that the fitter would be called every few weeks, which a measurement mostly spares.
    private static bool IsTooSoonToMeasureFirst(Situation situation, PairingView view, PairingForecast forecast)
    {
        var after = MeasurementCauses.DueOn(situation).AddDays(Booking.LeadDays(view));
        return forecast.Measures.Any(curve => MeasureFacts.IsOfWidth(curve.Key.Measure) && curve.ReachedOn(view.Policy.RiskLimit, curve.Days[0].Day) < after);
    }

    private static Reason Leaving(Finding finding, PairingForecast forecast, CheckPolicy policy, DateOnly due)
    {
        var limit = Words.Percent(policy.RiskLimit);
        var reached = due > finding.On
            ? $"chance of being out reaches {limit} on {Words.Day(due)}."
            : $"chance that the saddle is out somewhere is {Words.Percent(forecast.At(due).OutBy)} already (limit {limit}).";
        return new Reason(
            Cause.Risk, $"{finding.Statement}: {reached}", due, MeasureFacts.Name(finding.Key.Measure), finding.Key.Station?.ToString(), policy.RiskLimit, "probability", null)
        {
            Side = finding.Key.Side,
        };
    }

    private static Reason GettingOld(Situation situation, Finding finding, DateOnly since, CheckPolicy policy, DateOnly due) => new(
        Cause.ForecastWide,
        $"Nothing new is known of the {FitWords.Name(finding.Key.Measure)}{FitWords.Where(finding.Near, finding.Third)} since {Words.Day(since)}: chance of being out reaches {Words.Percent(policy.RiskLimit)} on {Words.Day(due)} unless it is measured again.",
        due, MeasureFacts.Name(finding.Key.Measure), finding.Key.Station?.ToString(), policy.RiskLimit, "probability", situation.LastSession?.Id)
    {
        Side = finding.Key.Side,
    };

    private static WantedCheck Mend(Situation situation, PairingView view, Finding finding)
    {
        var (kind, how, waitsFor) = RemedyOf(situation, view, finding);
        var text = $"{finding.Statement}: chance of being out {Words.Percent(finding.Numbers!.Value.ProbabilityOut)}.{how} Do not ride in it until it has been looked at.";
        return Deadlines.AtOnce(
            situation, view, kind, situation.Today.AddDays(view.Policy.OutNowDays), OutNow(finding, text, finding.On, waitsFor));
    }

    // Unequal flocking is not so much as proposed before the vet has looked; the sign makes it another reason, so that a check which
    // stands already is reworded too.
    private static (CheckKind Kind, string How, string? WaitsFor) RemedyOf(Situation situation, PairingView view, Finding finding)
    {
        if (view.RemedyFor(finding) != CheckKind.Flocking)
            return (CheckKind.Refit, "", null);
        return situation.VetFirstSigns.Count > 0 && Flocking.IsUnequal(finding.Key)
            ? (CheckKind.Fit, " A vet looks first: no flocking is made unequal before.", situation.VetFirstSigns[0].Id)
            : (CheckKind.Flocking, $" Flocking can take it up: {FitWords.ToBeLevelled(finding.Key.Measure, finding.FlockingMm)}.", null);
    }

    private static WantedCheck MeasureAgain(Situation situation, PairingView view, Finding finding)
    {
        var looked = view.LookedAtOn(finding)!.Value;
        var text = $"{view.Pairing.SaddleLabel} was looked at on {Words.Day(looked)} and its {FitWords.Name(finding.Key.Measure)} is still out by the numbers{FitWords.Where(finding.Near, finding.Third)}: measure again.";
        return Deadlines.Measurement(situation, situation.Today, OutNow(finding, text, looked, view.Pairing.Id));
    }

    private static Reason OutNow(Finding finding, string text, DateOnly on, string? sourceId) => new(
        Cause.OutNow, text, on, MeasureFacts.Name(finding.Key.Measure), finding.Key.Station?.ToString(), finding.Numbers!.Value.Value,
        MeasureFacts.Unit(finding.Key.Measure), sourceId)
    {
        Side = finding.Key.Side,
    };
}
