using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;

namespace BackTracker.Engine.Assessments;

/// <summary>A pairing in use on the day, with its findings, its forecast and what was last done to it.</summary>
internal sealed class PairingView
{
    private readonly CheckPolicy _policy;
    private readonly DateOnly? _lastFlockingOn;

    public PairingView(Situation situation, PairingFact pairing)
    {
        _policy = situation.Policy;
        Pairing = pairing;
        var last = situation.Today.AddDays(_policy.HorizonDays);
        var fit = new PairingFit(pairing, situation.Trends, _policy, situation.Today, (situation.Today, last));
        (Findings, Missing) = (fit.On(situation.Today), fit.Missing);
        Forecast = PairingForecast.TryMake(fit, last, out var forecast) ? forecast : null;
        FitsDone = [.. situation.Facts.Checks
            .Where(check => check.PairingId == pairing.Id && check.State == CheckState.Done && check.Kind is CheckKind.Fit or CheckKind.Refit)
            .Where(check => check.DoneOn <= situation.Today)];
        LastFitOn = FitsDone.Max(check => check.DoneOn);
        _lastFlockingOn = situation.Facts.Checks
            .Where(check => check.PairingId == pairing.Id && check is { State: CheckState.Done, Kind: CheckKind.Flocking } && check.DoneOn <= situation.Today)
            .Max(check => check.DoneOn);
        Assessment = Describe(situation);
    }

    public PairingFact Pairing { get; }

    public IReadOnlyList<Finding> Findings { get; }

    /// <summary>Which measurements would bring the findings that could not be had.</summary>
    public IReadOnlyList<string> Missing { get; }

    /// <summary>Findings that are out of tolerance, the one most likely so first.</summary>
    public IEnumerable<Finding> Out => Findings.Where(finding => finding.Severity == Severity.Out).OrderByDescending(finding => finding.Numbers!.Value.ProbabilityOut);

    /// <summary>The forecast; null where tree and back cannot be compared.</summary>
    public PairingForecast? Forecast { get; }

    /// <summary>Fit checks and refits that were done.</summary>
    public IReadOnlyList<CheckFact> FitsDone { get; }

    /// <summary>Day of the last of them; null where there is none.</summary>
    public DateOnly? LastFitOn { get; }

    public PairingAssessment Assessment { get; }

    /// <summary>Whether somebody looked at the fit since a finding went out, so that the numbers have nothing new to say.</summary>
    public bool IsLookedAt(Finding finding)
    {
        var curve = Forecast?.Measures.FirstOrDefault(curve => curve.Key == finding.Key);
        return LookedAtOn(finding) >= (curve?.FirstOutOn(_policy.OutProbability) ?? finding.On);
    }

    /// <summary>What mends a finding.</summary>
    public CheckKind RemedyFor(Finding finding) => Remedy.For(finding, Findings, _policy);

    /// <summary>Day on which somebody last looked at what a finding is about; null where nobody did.</summary>
    public DateOnly? LookedAtOn(Finding finding) =>
        double.IsFinite(finding.FlockingMm) && (LastFitOn is null || _lastFlockingOn > LastFitOn) ? _lastFlockingOn : LastFitOn;

    private PairingAssessment Describe(Situation situation)
    {
        var (advice, text) = Advise(situation);
        return new PairingAssessment(
            Pairing.Id, Pairing.SaddleId, Pairing.SaddleLabel, advice, text, Findings, Missing, OutlookFrom(situation.Today));
    }

    private (RideAdvice Advice, string Text) Advise(Situation situation)
    {
        if (situation.VetFirstSigns.Count > 0)
            return (RideAdvice.StopVetFirst, "Stop, vet first.");
        var outNow = Out.ToList();
        // The channel is the tree's alone: it says nothing of the back.
        if (Findings.All(finding => finding.Numbers is null || finding.Key.Measure == Measure.Channel || !MeasureFacts.IsOfSaddle(finding.Key.Measure)))
            return (RideAdvice.NothingAgainst, "Not known: tree and back cannot be compared yet.");
        if (outNow.Count == 0)
            return (RideAdvice.NothingAgainst, "Nothing recorded speaks against it; that does not mean safe.");
        return outNow.TrueForAll(IsLookedAt)
            ? (RideAdvice.NothingAgainst, $"Out of tolerance by the numbers, looked at on {Words.Day(LookedAtOn(outNow[0])!.Value)}. Measure again.")
            : (RideAdvice.DoNotRide, "Do not ride in it until it has been looked at.");
    }

    private Outlook? OutlookFrom(DateOnly today)
    {
        if (Forecast is not { } forecast)
            return null;
        var half = forecast.ReachedOn(.5, today);
        var fifth = forecast.ReachedOn(.2, today);
        var driver = forecast.DriverBy(fifth ?? forecast.Overall[^1].Day);
        return new Outlook(forecast.At(today).OutOn, fifth, half, driver.Key, driver.Near);
    }
}
