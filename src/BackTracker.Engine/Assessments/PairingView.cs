using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;

namespace BackTracker.Engine.Assessments;

/// <summary>A pairing in use on the day, with its findings, its forecast and what was last done to it.</summary>
internal sealed class PairingView
{
    private readonly DateOnly? _lastFlockingOn;

    public PairingView(Situation situation, PairingFact pairing)
    {
        Policy = situation.Policy.With(pairing.OwnPolicy);
        Pairing = pairing;
        var last = situation.Today.AddDays(Policy.HorizonDays);
        var fit = new PairingFit(pairing, situation.Trends, Policy, situation.Today, (situation.Today, last));
        (Findings, Missing) = (fit.On(situation.Today), fit.Missing);
        Forecast = PairingForecast.TryMake(fit, last, out var forecast) ? forecast : null;
        List<CheckFact> looks = [.. situation.Facts.Checks
            .Where(check => check.PairingId == pairing.Id && check.State == CheckState.Done && check.DoneOn <= situation.Today)
            .OrderBy(check => check.DoneOn)
            .ThenBy(check => check.Id, StringComparer.Ordinal)];
        LastLook = looks.Select(check => new LookFact(check.Id, check.DoneOn!.Value))
            .Concat(pairing.LooksElsewhere.Where(look => look.On <= situation.Today))
            .OrderBy(look => look.On)
            .ThenBy(look => look.CheckId, StringComparer.Ordinal)
            .LastOrDefault();
        FitsDone = [.. looks.Where(check => check.Kind is CheckKind.Fit or CheckKind.Refit)];
        LastFitOn = FitsDone.Max(check => check.DoneOn);
        _lastFlockingOn = looks.Where(check => check.Kind == CheckKind.Flocking).Max(check => check.DoneOn);
        IsRidden = pairing.WeeklyMinutes != 0 || situation.Facts.Rides.Any(ride => IsOfPairing(ride, situation.Facts));
        Assessment = Describe(situation);
    }

    public PairingFact Pairing { get; }

    /// <summary>Settings of the pairing.</summary>
    public CheckPolicy Policy { get; }

    public IReadOnlyList<Finding> Findings { get; }

    /// <summary>Which measurements would bring the findings that could not be had.</summary>
    public IReadOnlyList<string> Missing { get; }

    /// <summary>Findings that are out of tolerance, the one most likely so first.</summary>
    public IEnumerable<Finding> Out => Findings.Where(finding => finding.Severity == Severity.Out).OrderByDescending(finding => finding.Numbers!.Value.ProbabilityOut);

    /// <summary>The forecast; null where tree and back cannot be compared.</summary>
    public PairingForecast? Forecast { get; }

    /// <summary>Whether anybody rides in the saddle on this horse: somebody said so, nobody said otherwise, or a ride is recorded.</summary>
    public bool IsRidden { get; }

    /// <summary>The flocking check, fit check or refit that was done last, on whichever horse: the flocking is the same; null where there is none.</summary>
    public LookFact? LastLook { get; }

    /// <summary>Fit checks and refits that were done.</summary>
    public IReadOnlyList<CheckFact> FitsDone { get; }

    /// <summary>Day of the last of them; null where there is none.</summary>
    public DateOnly? LastFitOn { get; }

    /// <summary>Day since which changes count and the clock of fit checks runs: that of the last fit check, else the first day of the pairing.</summary>
    public DateOnly CheckedSince => LastFitOn is { } done && done > Pairing.From ? done : Pairing.From;

    public PairingAssessment Assessment { get; }

    /// <summary>Whether a ride was in this saddle, on this horse, and since they are paired.</summary>
    public bool IsOfPairing(RideFact ride, HorseFacts facts) =>
        ride.SaddleId == Pairing.SaddleId && ride.HorseId == facts.HorseId && ride.On >= Pairing.From;

    /// <summary>Whether somebody looked at the fit since a finding went out, so that the numbers have nothing new to say.</summary>
    public bool IsLookedAt(Finding finding)
    {
        var curve = Forecast?.Measures.FirstOrDefault(curve => curve.Key == finding.Key);
        return LookedAtOn(finding) >= (curve?.FirstOutOn(Policy.OutProbability) ?? finding.On);
    }

    /// <summary>What mends a finding.</summary>
    public CheckKind RemedyFor(Finding finding) => Remedy.For(finding, Findings, Policy);

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
