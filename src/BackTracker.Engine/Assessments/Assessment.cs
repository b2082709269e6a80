using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Assessments;

/// <summary>Whether a saddle may be used on a horse, as far as the facts speak; saying nothing against it does not mean safe.</summary>
public enum RideAdvice
{
    /// <summary>Nothing recorded speaks against it.</summary>
    NothingAgainst,

    /// <summary>Something must be looked at before the next ride.</summary>
    CheckFirst,

    /// <summary>A finding is out: do not ride in it until it has been looked at.</summary>
    DoNotRide,

    /// <summary>A vet-first sign is open: stop, vet first.</summary>
    StopVetFirst,
}

/// <summary>How a metric is moving, as far as the sessions up to the day say.</summary>
/// <param name="Metric">What is measured.</param>
/// <param name="Unit">Unit of the level.</param>
/// <param name="Direction">Which way it goes.</param>
/// <param name="PerFourWeeks">Expected change in four weeks at the present rate, unit.</param>
/// <param name="PerFourWeeksSe">Its standard error.</param>
/// <param name="ProbabilityRising">Probability that it is growing.</param>
/// <param name="Level">Expected level on the day.</param>
/// <param name="LevelSe">Its standard error.</param>
/// <param name="LeastRealChange">Least change between two sessions that is more than noise, unit.</param>
/// <param name="Sessions">Sessions that entered the trend.</param>
/// <param name="LastOn">Day of the last of them.</param>
public sealed record TrendSummary(
    Metric Metric,
    string Unit,
    TrendDirection Direction,
    double PerFourWeeks,
    double PerFourWeeksSe,
    double ProbabilityRising,
    double Level,
    double LevelSe,
    double LeastRealChange,
    int Sessions,
    DateOnly LastOn);

/// <summary>When a pairing is expected to leave tolerance, in short; the day-by-day forecast is <see cref="Forecasts.PairingForecast"/>.</summary>
/// <param name="OutToday">Probability that some finding is out today.</param>
/// <param name="OutBy20On">First day from today on by which the probability of having left tolerance is 20 % or more; null where that is beyond the horizon.</param>
/// <param name="OutBy50On">The same for 50 %.</param>
/// <param name="DrivenBy">The finding that contributes most.</param>
/// <param name="Near">Station that finding is at or near; null where there is none within 60 mm or it is of the whole saddle.</param>
public sealed record Outlook(double OutToday, DateOnly? OutBy20On, DateOnly? OutBy50On, FindingKey DrivenBy, Station? Near);

/// <summary>A pairing on a day.</summary>
/// <param name="PairingId">Id of the pairing.</param>
/// <param name="SaddleId">Id of the saddle.</param>
/// <param name="SaddleLabel">What the yard calls the saddle.</param>
/// <param name="Advice">Whether it may be used.</param>
/// <param name="AdviceText">The advice in words.</param>
/// <param name="Findings">Findings by measure and from front to rear, unknown ones last.</param>
/// <param name="Missing">Which measurements would bring the findings that could not be had, in words.</param>
/// <param name="Outlook">When it is expected to leave tolerance; null where no finding could be had.</param>
public sealed record PairingAssessment(
    string PairingId,
    string SaddleId,
    string SaddleLabel,
    RideAdvice Advice,
    string AdviceText,
    IReadOnlyList<Finding> Findings,
    IReadOnlyList<string> Missing,
    Outlook? Outlook)
{
    /// <summary>Severity by key of finding, to hand in as <see cref="PairingFact.LastSeverities"/> next time.</summary>
    public IReadOnlyDictionary<string, Severity> Severities => Findings.ToDictionary(finding => finding.Key.ToString(), finding => finding.Severity);
}

/// <summary>A saddle that is being made for the horse, on a day.</summary>
/// <param name="CommissionId">Id of the commission.</param>
/// <param name="SaddleLabel">What the yard calls the saddle.</param>
/// <param name="Stage">Where it stands.</param>
/// <param name="DeliveryOn">The day it is to come home.</param>
/// <param name="ProbabilityFits">Probability that nothing is out of tolerance on that day; null where tree and back cannot be compared.</param>
public sealed record CommissionAssessment(string CommissionId, string SaddleLabel, CommissionStage Stage, DateOnly DeliveryOn, double? ProbabilityFits);

/// <summary>Everything the engine concludes about a horse on a day.</summary>
/// <param name="EngineVersion">Version of the rules.</param>
/// <param name="ModelVersion">Version of the trend model and its priors.</param>
/// <param name="Today">The day, in the yard's time zone.</param>
/// <param name="VetFirstObservationIds">Open vet-first signs; while there is one, no fit, flocking or refit may be booked, postponed or dropped.</param>
/// <param name="Trends">Every width that was measured, by metric.</param>
/// <param name="Pairings">Pairings in use on the day, by id.</param>
/// <param name="Wanted">Checks that ought to exist or will fall due, most of them not yet to be opened.</param>
/// <param name="Decisions">What is to be done to the stored checks, in order; empty where nothing is.</param>
public sealed record Assessment(
    string EngineVersion,
    string ModelVersion,
    DateOnly Today,
    IReadOnlyList<string> VetFirstObservationIds,
    IReadOnlyList<TrendSummary> Trends,
    IReadOnlyList<PairingAssessment> Pairings,
    IReadOnlyList<WantedCheck> Wanted,
    IReadOnlyList<CheckDecision> Decisions)
{
    /// <summary>Saddles that are being made for the horse, by the id of the commission.</summary>
    public IReadOnlyList<CommissionAssessment> Commissions { get; init; } = [];

    /// <summary>Whether a vet must look before anything else is done.</summary>
    public bool VetFirst => VetFirstObservationIds.Count > 0;
}
