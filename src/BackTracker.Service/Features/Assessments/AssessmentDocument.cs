using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Trends;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Assessments;

/// <summary>Which way a metric is moving.</summary>
internal enum Direction
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
internal sealed record TrendDocument(
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

/// <summary>Limits of a finding.</summary>
/// <param name="WatchWideMm">Watch from this much too wide.</param>
/// <param name="OutWideMm">Out from this much too wide.</param>
/// <param name="WatchNarrowMm">Watch from this much too narrow.</param>
/// <param name="OutNarrowMm">Out from this much too narrow.</param>
internal sealed record LimitsDocument(double WatchWideMm, double OutWideMm, double WatchNarrowMm, double OutNarrowMm);

/// <summary>One finding of a fit.</summary>
/// <param name="Measure">What was compared, for example width150.</param>
/// <param name="Station">Where along the back.</param>
/// <param name="Side">Left or right; null where the finding is of both sides together.</param>
/// <param name="Value">Tree less back, + = tree wide; null where unknown.</param>
/// <param name="ValueSd">Standard deviation of the value.</param>
/// <param name="Unit">Unit of the value.</param>
/// <param name="TreeMm">Width of the tree.</param>
/// <param name="BackMm">Expected width of the back.</param>
/// <param name="Limits">Limits of the value.</param>
/// <param name="Source">Where the limits come from.</param>
/// <param name="Severity">How it stands.</param>
/// <param name="ProbabilityOut">Probability of being out of tolerance.</param>
/// <param name="Text">In words.</param>
internal sealed record FindingDocument(
    string Measure, string? Station, string? Side, double? Value, double? ValueSd, string Unit, double? TreeMm, double? BackMm,
    LimitsDocument Limits, string Source, Severity Severity, double? ProbabilityOut, string Text)
{
    private const string WidthSource =
        "One fitting is 2 cm across the points (Meschan, Peham, Schobesberger and Licka 2007, Vet J 173:578-584); watch at half of it, less room when narrow: derived. Limits are settings of the pairing.";

    public string Key => $"{Measure}@{Station}";

    public static FindingDocument Of(WidthFinding finding) => new(
        finding.Measure, finding.Station.ToString(), null, finding.Numbers?.MismatchMm, finding.Numbers?.MismatchSdMm, "mm",
        finding.Numbers?.TreeWidthMm, finding.Numbers?.BackWidthMm,
        new(finding.Limits.WatchWideMm, finding.Limits.OutWideMm, finding.Limits.WatchNarrowMm, finding.Limits.OutNarrowMm),
        WidthSource, finding.Severity, finding.Numbers?.ProbabilityOut, finding.Text);
}

/// <summary>First days by which the probability of having left tolerance reaches 20 and 50 %; null beyond the horizon.</summary>
/// <param name="P20">The 20 % day.</param>
/// <param name="P50">The 50 % day.</param>
internal sealed record LeavesTolerance(DateOnly? P20, DateOnly? P50);

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
/// <param name="DrivenBy">The station that contributes most.</param>
internal sealed record PairingDocument(
    string PairingId, string SaddleId, string SaddleLabel, RideAdvice Advice, string AdviceText, IReadOnlyList<FindingDocument> Findings,
    IReadOnlyList<string> Missing, LeavesTolerance LeavesToleranceOn, double? ProbabilityOut, string? DrivenBy)
{
    public static PairingDocument Of(PairingAssessment pairing) => new(
        pairing.PairingId, pairing.SaddleId, pairing.SaddleLabel, pairing.Advice, pairing.AdviceText,
        [.. pairing.Findings.Select(FindingDocument.Of)], pairing.Missing,
        new(pairing.Outlook?.OutBy20On, pairing.Outlook?.OutBy50On), pairing.Outlook?.OutToday, pairing.Outlook?.DrivenBy.ToString());

    /// <summary>The finding to show first.</summary>
    public FindingDocument? Worst() => Findings.OrderByDescending(f => f.Severity).ThenByDescending(f => f.ProbabilityOut ?? 0).FirstOrDefault();
}

/// <summary>A check that will be wanted.</summary>
/// <param name="Kind">What is to be done.</param>
/// <param name="PairingId">The pairing; null for the horse.</param>
/// <param name="NoticeOn">The day a check is opened for it.</param>
/// <param name="Days">When.</param>
/// <param name="Reasons">Why.</param>
internal sealed record WantedDocument(CheckKind Kind, string? PairingId, DateOnly NoticeOn, CheckDays Days, IReadOnlyList<Reason> Reasons)
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
internal sealed record DecisionDocument(string Action, string? CheckId, CheckKind? Kind, string? PairingId, CheckDays? Days, string? Note)
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
internal sealed record AssessmentDocument(
    string ModelVersion, IReadOnlyList<string> VetFirstObservationIds, IReadOnlyList<TrendDocument> Trends,
    IReadOnlyList<PairingDocument> Pairings, IReadOnlyList<WantedDocument> Wanted, IReadOnlyList<DecisionDocument> Decisions)
{
    public static AssessmentDocument Of(Assessment assessment) => new(
        assessment.ModelVersion, assessment.VetFirstObservationIds, [.. assessment.Trends.Select(TrendDocument.Of)],
        [.. assessment.Pairings.Select(PairingDocument.Of)], [.. assessment.Wanted.Select(WantedDocument.Of)],
        [.. assessment.Decisions.Select(DecisionDocument.Of)]);

    public static AssessmentDocument Read(string outputs) => Json.Read<AssessmentDocument>(outputs);
}
