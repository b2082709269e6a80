using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Trends;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Assessments;

/// <summary>Which way a metric is moving.</summary>
public enum Direction
{
    /// <summary>Not enough is known.</summary>
    NoTrendYet,

    /// <summary>Growing.</summary>
    Widening,

    /// <summary>Shrinking.</summary>
    Narrowing,

    /// <summary>Known to be moving less in twelve weeks than two measurements can tell apart.</summary>
    Steady,
}

/// <summary>How a metric is moving.</summary>
/// <param name="Metric">For example T13.width150.</param>
/// <param name="Unit">Unit of the level.</param>
/// <param name="Direction">Which way it goes.</param>
/// <param name="PerFourWeeks">Expected change in four weeks at the present rate.</param>
/// <param name="PerFourWeeksSe">Its standard error.</param>
/// <param name="Probability">Probability that it moves the way named; for no trend yet and steady, that it is growing.</param>
/// <param name="Level">Expected level on the day assessed.</param>
/// <param name="LevelSe">Its standard error.</param>
/// <param name="LeastRealChange">Least change between two sessions that is more than noise.</param>
/// <param name="Sessions">Sessions that entered.</param>
/// <param name="LastOn">Day of the last of them.</param>
public sealed record TrendDocument(
    string Metric, string Unit, Direction Direction, double PerFourWeeks, double PerFourWeeksSe, double Probability,
    double Level, double LevelSe, double LeastRealChange, int Sessions, DateOnly LastOn)
{
    public static TrendDocument Of(TrendSummary trend) => new(
        trend.Metric.ToString(), trend.Unit, DirectionOf(trend.Direction), trend.PerFourWeeks, trend.PerFourWeeksSe,
        trend.Direction == TrendDirection.Falling ? 1 - trend.ProbabilityRising : trend.ProbabilityRising,
        trend.Level, trend.LevelSe, trend.LeastRealChange, trend.Sessions, trend.LastOn);

    public static Direction DirectionOf(TrendDirection direction) => direction switch
    {
        TrendDirection.Rising => Direction.Widening,
        TrendDirection.Falling => Direction.Narrowing,
        TrendDirection.Steady => Direction.Steady,
        _ => Direction.NoTrendYet,
    };
}

/// <summary>Limits of a finding, in its unit; null where there is none at that end.</summary>
/// <param name="OutBelow">Out below this.</param>
/// <param name="WatchBelow">Watch from this downwards.</param>
/// <param name="WatchAbove">Watch from this upwards.</param>
/// <param name="OutAbove">Out above this.</param>
public sealed record LimitsDocument(double? OutBelow, double? WatchBelow, double? WatchAbove, double? OutAbove)
{
    public static LimitsDocument Of(Limits limits) => new(Finite(limits.OutBelow), Finite(limits.WatchBelow), Finite(limits.WatchAbove), Finite(limits.OutAbove));

    private static double? Finite(double limit) => double.IsFinite(limit) ? limit : null;
}

/// <summary>One finding of a fit.</summary>
/// <param name="Key">Which finding: measure, station and side, for example width@T13 or bridging@left.</param>
/// <param name="Measure">What was compared, for example width.</param>
/// <param name="Station">Station it is at or near; null where none lies within 60 mm or it is of the whole saddle.</param>
/// <param name="Side">Left or right; null where the finding is of both sides together.</param>
/// <param name="Value">The expected value; null where unknown.</param>
/// <param name="ValueSd">Standard deviation of the value.</param>
/// <param name="Unit">Unit of the value.</param>
/// <param name="TreeMm">Width of the tree, where two widths are compared.</param>
/// <param name="BackMm">Expected width of the back, where two widths are compared.</param>
/// <param name="Limits">Limits of the value.</param>
/// <param name="Margin">How far the value lies inside the nearer out limit, in its unit; negative beyond it.</param>
/// <param name="Source">Where the limits come from.</param>
/// <param name="Severity">How it stands.</param>
/// <param name="ProbabilityOut">Probability of being out of tolerance.</param>
/// <param name="FlockingMm">How much is out that flocking would have to level, mm: the hollow, the bend, the lift from one third or panel to another. Not how much flocking goes in. Null where flocking cannot cure it.</param>
/// <param name="Text">In words.</param>
public sealed record FindingDocument(
    string Key, string Measure, string? Station, Side? Side, double? Value, double? ValueSd, string Unit, double? TreeMm, double? BackMm,
    LimitsDocument Limits, double? Margin, string Source, Severity Severity, double? ProbabilityOut, double? FlockingMm, string Text)
{
    public static FindingDocument Of(Finding finding) => new(
        finding.Key.ToString(), MeasureFacts.Name(finding.Key.Measure), finding.Near?.ToString(), finding.Key.Side, finding.Numbers?.Value, finding.Numbers?.Sd,
        MeasureFacts.Unit(finding.Key.Measure), finding.Numbers?.Widths?.TreeMm, finding.Numbers?.Widths?.BackMm, LimitsDocument.Of(finding.Limits), MarginOf(finding),
        MeasureFacts.Source(finding.Key.Measure) + " Limits are settings of the pairing.", finding.Severity, finding.Numbers?.ProbabilityOut,
        double.IsFinite(finding.FlockingMm) ? finding.FlockingMm : null, finding.Text);

    private static double? MarginOf(Finding finding)
    {
        if (finding.Numbers is not { } numbers)
            return null;
        return Math.Min(numbers.Value - finding.Limits.OutBelow, finding.Limits.OutAbove - numbers.Value);
    }
}

/// <summary>First days by which the probability of having left tolerance reaches 20 and 50 %; null beyond the horizon.</summary>
/// <param name="P20">The 20 % day.</param>
/// <param name="P50">The 50 % day.</param>
public sealed record LeavesTolerance(DateOnly? P20, DateOnly? P50);

/// <summary>A pairing as assessed.</summary>
/// <param name="PairingId">The pairing.</param>
/// <param name="SaddleId">The saddle.</param>
/// <param name="SaddleLabel">What the yard calls it.</param>
/// <param name="Advice">Whether it may be used.</param>
/// <param name="AdviceText">The advice in words.</param>
/// <param name="Findings">Findings from front to rear.</param>
/// <param name="Missing">Which measurements would bring what is unknown.</param>
/// <param name="LeavesToleranceOn">When it is expected to leave tolerance.</param>
/// <param name="ProbabilityOut">Probability that some finding is out on the day assessed; null where nothing could be compared.</param>
/// <param name="DrivenBy">Station of the finding that contributes most, or the one within 60 mm of it.</param>
public sealed record PairingDocument(
    string PairingId, string SaddleId, string SaddleLabel, RideAdvice Advice, string AdviceText, IReadOnlyList<FindingDocument> Findings,
    IReadOnlyList<string> Missing, LeavesTolerance LeavesToleranceOn, double? ProbabilityOut, string? DrivenBy)
{
    /// <summary>Key of the finding that contributes most.</summary>
    public string? DrivenByFinding { get; init; }

    public static PairingDocument Of(PairingAssessment pairing) => new(
        pairing.PairingId, pairing.SaddleId, pairing.SaddleLabel, pairing.Advice, pairing.AdviceText,
        [.. pairing.Findings.Select(FindingDocument.Of)], pairing.Missing,
        new(pairing.Outlook?.OutBy20On, pairing.Outlook?.OutBy50On), pairing.Outlook?.OutToday, pairing.Outlook?.Near?.ToString())
    {
        DrivenByFinding = pairing.Outlook?.DrivenBy.ToString(),
    };

    private static readonly string[] Moving = [.. Enum.GetValues<Measure>().Where(MeasureFacts.MovesWithTheBack).Select(MeasureFacts.Name)];

    /// <summary>The finding to show first: the most severe, of those one that moves with the back, and of those the one most likely out.</summary>
    public FindingDocument? Worst() => Findings
        .OrderByDescending(f => f.Severity)
        .ThenByDescending(f => Moving.Contains(f.Measure))
        .ThenByDescending(f => f.ProbabilityOut ?? 0)
        .FirstOrDefault();
}

/// <summary>A check that will be wanted.</summary>
/// <param name="Kind">What is to be done.</param>
/// <param name="PairingId">The pairing; null for the horse.</param>
/// <param name="NoticeOn">The day a check is opened for it.</param>
/// <param name="Days">When.</param>
/// <param name="Reasons">Why.</param>
public sealed record WantedDocument(CheckKind Kind, string? PairingId, DateOnly NoticeOn, CheckDays Days, IReadOnlyList<Reason> Reasons)
{
    public static WantedDocument Of(WantedCheck wanted) => new(wanted.Kind, wanted.PairingId, wanted.NoticeOn, wanted.Days, wanted.Reasons);
}

/// <summary>What was done to a check.</summary>
/// <param name="Action">open, revise, complete or drop.</param>
/// <param name="CheckId">Which; null where it was opened.</param>
/// <param name="Kind">Kind of an opened one.</param>
/// <param name="PairingId">Pairing of an opened one.</param>
/// <param name="Days">Its days.</param>
/// <param name="Note">Why.</param>
public sealed record DecisionDocument(string Action, string? CheckId, CheckKind? Kind, string? PairingId, CheckDays? Days, string? Note)
{
    public static DecisionDocument Of(CheckDecision decision) => decision switch
    {
        CheckDecision.Open open => new("open", null, open.Check.Kind, open.Check.PairingId, open.Check.Days, open.Check.Reasons[0].Text),
        CheckDecision.Revise revise => new("revise", revise.CheckId, null, null, revise.Days, revise.Note),
        CheckDecision.Complete complete => new("complete", complete.CheckId, null, null, null, complete.Note),
        CheckDecision.Drop drop => new("drop", drop.CheckId, null, null, null, drop.Note),
        _ => throw new ArgumentOutOfRangeException(nameof(decision), decision, "An unknown kind of decision."),
    };
}

/// <summary>Everything an assessment concluded, as stored.</summary>
/// <param name="ModelVersion">Version of the trend model and its priors.</param>
/// <param name="VetFirstObservationIds">Open vet-first signs.</param>
/// <param name="Trends">Every measured width.</param>
/// <param name="Pairings">Pairings in use.</param>
/// <param name="Wanted">Checks that are or will be wanted.</param>
/// <param name="Decisions">What was done to the checks.</param>
public sealed record AssessmentDocument(
    string ModelVersion, IReadOnlyList<string> VetFirstObservationIds, IReadOnlyList<TrendDocument> Trends,
    IReadOnlyList<PairingDocument> Pairings, IReadOnlyList<WantedDocument> Wanted, IReadOnlyList<DecisionDocument> Decisions)
{
    /// <summary>Saddles that are being made.</summary>
    public IReadOnlyList<CommissionAssessment> Commissions { get; init; } = [];

    public static AssessmentDocument Of(Assessment assessment) => new(
        assessment.ModelVersion, assessment.VetFirstObservationIds, [.. assessment.Trends.Select(TrendDocument.Of)],
        [.. assessment.Pairings.Select(PairingDocument.Of)], [.. assessment.Wanted.Select(WantedDocument.Of)],
        [.. assessment.Decisions.Select(DecisionDocument.Of)])
    {
        Commissions = assessment.Commissions,
    };

    /// <summary>Reads a stored document, also of an earlier version: what is not known any more is passed over, what was not there yet is missing.</summary>
    public static AssessmentDocument Read(string outputs) => Json.ReadStored<AssessmentDocument>(outputs);
}
