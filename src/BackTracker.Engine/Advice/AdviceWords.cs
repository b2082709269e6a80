using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;

namespace BackTracker.Engine.Advice;

/// <summary>Advice in words of the trade.</summary>
internal static class AdviceWords
{
    public const string NotKnown = "Too little is known of how the saddle lies along the back to say what flocking would bring.";
    public const string VetFirst = "What would level the saddle makes left and right unequal. A vet-first sign is open: no flocking is made unequal before a vet has looked.";
    private const string OnlyTree = "Only the tree can be altered, or another taken.";

    public static string Narrow(Finding narrow) => $"{narrow.Statement}. Padding never cures a narrow saddle. {OnlyTree}";

    public static string OfTree(Finding finding) => finding.Key.Measure is Measure.Reach or Measure.ShoulderRoom
        ? $"{finding.Statement}. That is a matter of the tree's length and of where it lies, not of the panel."
        : $"{finding.Statement}. Flocking does not alter that. {OnlyTree}";

    public static string TooMuch(Finding finding, AdjustmentKind how, int mostMm) =>
        $"{finding.Statement}. No {Named(how)} of up to {mostMm} mm a zone keeps the saddle in tolerance longer. {OnlyTree}";

    public static string TooDeep(Finding finding, CheckPolicy policy) =>
        $"{finding.Statement}: {FitWords.ToBeLevelled(finding.Key.Measure, finding.FlockingMm)}, and flocking takes up {Words.Whole(policy.FlockingLimitMm)} mm at most. {OnlyTree}";

    /// <summary>That nothing is to be done, how long it lasts, and what goes first then.</summary>
    public static string NothingToDo(AdjustmentKind how, int mostMm, TimeWithin asIs, RiskCurve goesFirst, CheckPolicy policy)
    {
        var nothing = $"Nothing is to be done at the panel: no {Named(how)} of up to {mostMm} mm a zone keeps the saddle in tolerance noticeably longer.";
        var (limit, lasts) = (Words.Percent(policy.RiskLimit), "As it is, the chance of having left tolerance");
        if (asIs.RiskLimitOn is not { } reached)
            return $"{nothing} {lasts} stays under {limit} for {Words.Span(policy.HorizonDays)}.";
        var first = $"what goes first is the {FitWords.Name(goesFirst.Key.Measure)}{FitWords.Where(goesFirst.Near, null)}";
        var matter = MeasureFacts.IsOfPanel(goesFirst.Key.Measure) ? "" : ", a matter of the tree";
        var unsure = goesFirst.ExpectedOutOn is null ? " It is not expected to leave: the chance comes from how little is known, so measure again." : "";
        return $"{nothing} {lasts} reaches {limit} on {Words.Day(reached)}; {first}{matter}.{unsure}";
    }

    /// <summary>"Add 4 mm of flocking in the middle third on both sides. Take 2 mm of flocking out of the rear third on the left."</summary>
    public static string Adjust(AdjustmentKind how, IReadOnlyList<ZoneChange> zones) =>
        string.Join(' ', zones.GroupBy(zone => (zone.Zone, zone.Mm)).GroupBy(place => (place.Key.Mm, Sides(place))).Select(same => Sentence(how, same.Key.Mm, [.. same.Select(place => place.Key.Zone)], same.Key.Item2)));

    /// <summary>How much longer it lasts.</summary>
    public static string Brings(TimeWithin asIs, TimeWithin adjusted, CheckPolicy policy)
    {
        var limit = Words.Percent(policy.RiskLimit);
        var reached = (asIs.RiskLimitOn, adjusted.RiskLimitOn) switch
        {
            (null, null) => $"The chance of having left tolerance stays under {limit} for {Words.Span(policy.HorizonDays)} either way",
            ({ } sooner, null) => $"The chance of having left tolerance then stays under {limit} for {Words.Span(policy.HorizonDays)}, instead of reaching it on {Words.Day(sooner)}",
            (null, { } later) => $"The chance of having left tolerance then reaches {limit} on {Words.Day(later)}",
            ({ } sooner, { } later) => $"The chance of having left tolerance then reaches {limit} on {Words.Day(later)}, instead of {Words.Day(sooner)}",
        };
        var (with, without) = (Words.Whole(adjusted.ExpectedDays), Words.Whole(asIs.ExpectedDays));
        return $"{reached}. Of the next {policy.HorizonDays} days about {with} pass before it leaves tolerance, instead of {without}. Today's chance of being out goes from {Words.Percent(asIs.ProbabilityOut)} to {Words.Percent(adjusted.ProbabilityOut)}.";
    }

    private static string Named(AdjustmentKind how) => how == AdjustmentKind.Flocking ? "flocking" : "shim";

    private static string Sides(IEnumerable<ZoneChange> zones) => zones.Select(zone => zone.Side).Distinct().ToList() is [var one] ? $"on the {one.ToString().ToLowerInvariant()}" : "on both sides";

    private static string Sentence(AdjustmentKind how, double mm, IReadOnlyList<Zone> zones, string sides)
    {
        var thirds = zones.Count == 3 ? "all along the panel" : $"{string.Join(" and the ", zones.Select(zone => zone.ToString().ToLowerInvariant()))} third{(zones.Count > 1 ? "s" : "")}";
        var amount = $"{Words.Whole(Math.Abs(mm))} mm";
        return (how, mm > 0, zones.Count) switch
        {
            (AdjustmentKind.Flocking, true, 3) => $"Add {amount} of flocking {thirds}, {sides}.",
            (AdjustmentKind.Flocking, true, _) => $"Add {amount} of flocking to the {thirds} {sides}.",
            (AdjustmentKind.Flocking, false, 3) => $"Take {amount} of flocking out {thirds}, {sides}.",
            (AdjustmentKind.Flocking, false, _) => $"Take {amount} of flocking out of the {thirds} {sides}.",
            (_, _, 3) => $"Lay a shim of {amount} {thirds}, {sides}.",
            _ => $"Lay a shim of {amount} under the {thirds} {sides}.",
        };
    }
}
