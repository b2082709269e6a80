using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Fit;

/// <summary>
/// Tree against back by widths alone: tree width 150 mm below its middle less back width 150 mm below its midline, station by station.
/// It knows nothing of angle, clearance, bridging or contact.
/// </summary>
public static class WidthFit
{
    /// <summary>Depth at which tree and back are compared, mm.</summary>
    public const int DepthMm = 150;

    /// <summary>
    /// Findings on <paramref name="day"/> for every station whose width is known of the tree, from front to rear; a day later than the
    /// last session is a forecast. Severities follow <see cref="SeverityRule"/> from <see cref="PairingFact.LastSeverities"/>.
    /// </summary>
    /// <param name="pairing">Pairing as of the day asked.</param>
    /// <param name="trends">Trends as of the day asked.</param>
    /// <param name="policy">Settings.</param>
    /// <param name="day">The day the findings are about.</param>
    public static IReadOnlyList<WidthFinding> On(PairingFact pairing, HorseTrends trends, CheckPolicy policy, DateOnly day)
    {
        var tree = EffectiveTree.On(pairing, day);
        return tree is null ? [] : [.. tree.Widths.Select(width => Find(pairing, tree, width, trends, policy, day))];
    }

    /// <summary>What must be measured to bring the findings that could not be had, in words; empty where nothing is missing.</summary>
    public static IReadOnlyList<string> Missing(PairingFact pairing, IReadOnlyList<WidthFinding> findings) => findings.Count == 0
        ? [$"Measure the tree of {pairing.SaddleLabel} {DepthMm} mm below its middle, at T8, T13 and T18."]
        : [.. findings.Where(finding => finding.Numbers is null).Select(finding => FitWords.Measure(finding.Station))];

    /// <summary>The numbers of a tree of a given width against a back that is forecast.</summary>
    /// <param name="treeWidthMm">Tree width, mm.</param>
    /// <param name="trend">Trend of the back's width.</param>
    /// <param name="limits">Limits of the mismatch.</param>
    /// <param name="policy">Settings.</param>
    /// <param name="day">The day.</param>
    public static WidthNumbers Numbers(double treeWidthMm, MetricTrend trend, WidthTolerances limits, CheckPolicy policy, DateOnly day)
    {
        var back = trend.On(day);
        var apart = back.Widened(policy.TreeMeasureSdMm);
        var narrow = apart.ProbabilityAbove(treeWidthMm + limits.OutNarrowMm);
        var wide = apart.ProbabilityBelow(treeWidthMm - limits.OutWideMm);
        var sinceSession = Math.Max(0, day.DayNumber - trend.Series.Points[^1].On.DayNumber);
        var noSurprise = Math.Exp(-policy.SurpriseHazardPerDay * sinceSession);
        return new WidthNumbers(
            treeWidthMm, back.Mean, back.Sd, treeWidthMm - back.Mean, double.Hypot(back.Sd, policy.TreeMeasureSdMm),
            narrow, wide, 1 - ((1 - Math.Min(1, narrow + wide)) * noSurprise));
    }

    private static WidthFinding Find(
        PairingFact pairing, EffectiveTree tree, TreeWidth width, HorseTrends trends, CheckPolicy policy, DateOnly day)
    {
        var limits = pairing.Tolerances;
        if (!trends.TryGet(Metric.Width(width.Station, DepthMm), out var trend))
            return new WidthFinding(width.Station, day, tree.ShapeId, limits, null, Severity.Unknown, FitWords.Unknown(width.Station));
        var numbers = Numbers(width.Width150Mm, trend, limits, policy, day);
        var last = pairing.LastSeverities.GetValueOrDefault(WidthFinding.KeyOf(width.Station), Severity.Unknown);
        var severity = SeverityRule.Of(numbers.ProbabilityOut, numbers.MismatchMm, limits, last, policy);
        return new WidthFinding(
            width.Station, day, tree.ShapeId, limits, numbers, severity, FitWords.Finding(width.Station, numbers, limits, severity));
    }
}
