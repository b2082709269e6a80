using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;

namespace BackTracker.Engine.Assessments;

/// <summary>A pairing in use on the day, with its findings, its forecast and what was last done to it.</summary>
internal sealed class PairingView
{
    private readonly CheckPolicy _policy;

    public PairingView(Situation situation, PairingFact pairing, IReadOnlyList<WidthFinding> findings, PairingForecast? forecast)
    {
        _policy = situation.Policy;
        Pairing = pairing;
        Findings = findings;
        Forecast = forecast;
        FitsDone = [.. situation.Facts.Checks
            .Where(check => check.PairingId == pairing.Id && check.State == CheckState.Done && check.Kind is CheckKind.Fit or CheckKind.Refit)
            .Where(check => check.DoneOn <= situation.Today)];
        LastFitOn = FitsDone.Max(check => check.DoneOn);
        Assessment = Describe(situation);
    }

    public PairingFact Pairing { get; }

    public IReadOnlyList<WidthFinding> Findings { get; }

    /// <summary>The forecast; null where tree and back cannot be compared.</summary>
    public PairingForecast? Forecast { get; }

    /// <summary>Fit checks and refits that were done.</summary>
    public IReadOnlyList<CheckFact> FitsDone { get; }

    /// <summary>Day of the last of them; null where there is none.</summary>
    public DateOnly? LastFitOn { get; }

    public PairingAssessment Assessment { get; }

    /// <summary>Whether somebody looked at the fit since a finding went out, so that the numbers have nothing new to say.</summary>
    public bool IsLookedAt(WidthFinding finding)
    {
        var curve = Forecast?.Measures.FirstOrDefault(curve => curve.Station == finding.Station);
        return LastFitOn >= (curve?.FirstOutOn(_policy.OutProbability) ?? finding.On);
    }

    private PairingAssessment Describe(Situation situation)
    {
        var (advice, text) = Advise(situation);
        return new PairingAssessment(
            Pairing.Id, Pairing.SaddleId, Pairing.SaddleLabel, advice, text, Findings, WidthFit.Missing(Pairing, Findings), OutlookFrom(situation.Today));
    }

    private (RideAdvice Advice, string Text) Advise(Situation situation)
    {
        if (situation.VetFirstSigns.Count > 0)
            return (RideAdvice.StopVetFirst, "Stop, vet first.");
        var outNow = Findings.Where(finding => finding.Severity == Severity.Out).ToList();
        if (Findings.All(finding => finding.Numbers is null))
            return (RideAdvice.NothingAgainst, "Not known: tree and back cannot be compared yet.");
        if (outNow.Count == 0)
            return (RideAdvice.NothingAgainst, "Nothing recorded speaks against it; that does not mean safe.");
        return outNow.TrueForAll(IsLookedAt)
            ? (RideAdvice.NothingAgainst, $"Out of tolerance by the numbers, looked at on {Words.Day(LastFitOn!.Value)}. Measure again.")
            : (RideAdvice.DoNotRide, "Do not ride in it until it has been looked at.");
    }

    private Outlook? OutlookFrom(DateOnly today)
    {
        if (Forecast is not { } forecast)
            return null;
        var half = forecast.ReachedOn(.5, today);
        var fifth = forecast.ReachedOn(.2, today);
        return new Outlook(forecast.At(today).OutOn, fifth, half, forecast.DriverBy(fifth ?? forecast.Overall[^1].Day).Station);
    }
}
