using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;

namespace BackTracker.Engine.Advice;

/// <summary>
/// Looks for the small adjustment of a panel that keeps a pairing in tolerance longest. What flocking cannot do is not tried: it alters neither
/// width nor angle nor where the tree lies, and padding never cures a narrow saddle. No adjustment is unequal left and right while a vet-first sign is
/// open. What is found is forecast as every saddle is.
/// </summary>
public sealed class Adviser
{
    private static readonly ZoneChange[] NoChange = [new(Side.Left, Zone.Front, 0)];
    private readonly PairingFact pairing;
    private readonly HorseTrends trends;
    private readonly CheckPolicy policy;
    private readonly DateOnly on;
    private readonly DateOnly last;
    private readonly PairingFit asIs;
    private readonly AdjustmentKind how;
    private readonly (int LeastMm, int MostMm) bounds;

    private Adviser(PairingFact pairing, HorseTrends trends, CheckPolicy policy, DateOnly on)
    {
        (this.pairing, this.trends, this.policy, this.on, last) = (pairing, trends, policy, on, on.AddDays(policy.HorizonDays));
        how = pairing.Filling == Filling.Wool ? AdjustmentKind.Flocking : AdjustmentKind.Shim;
        bounds = Bounds();
        // A change begins the curve anew: that of the saddle as it is begins on the same day, with a change by nothing.
        asIs = FitWith(PanelZones.None);
    }

    /// <summary>The advice.</summary>
    /// <param name="pairing">Pairing as of the day.</param>
    /// <param name="trends">Trends of the horse as of the day.</param>
    /// <param name="policy">Settings.</param>
    /// <param name="on">The day.</param>
    public static PanelAdvice Of(PairingFact pairing, HorseTrends trends, CheckPolicy policy, DateOnly on)
    {
        ArgumentNullException.ThrowIfNull(pairing);
        ArgumentNullException.ThrowIfNull(trends);
        ArgumentNullException.ThrowIfNull(policy);
        return new Adviser(pairing, trends, policy, on).Advise();
    }

    private PanelAdvice Advise()
    {
        var findings = asIs.On(on);
        if (findings.FirstOrDefault(finding => finding.IsNarrow) is { } narrow)
            return Without(AdviceKind.TreeOnly, AdviceWords.Narrow(narrow));
        if (findings.FirstOrDefault(finding => finding.Severity == Severity.Out && !MeasureFacts.IsOfPanel(finding.Key.Measure)) is { } ofTree)
            return Without(AdviceKind.TreeOnly, AdviceWords.OfTree(ofTree));
        if (!asIs.IsLaid || !trends.Back.Outline.HasTopline)
            return Without(AdviceKind.NotKnown, AdviceWords.NotKnown);
        if (findings.FirstOrDefault(finding => finding.Severity == Severity.Out && double.IsFinite(finding.FlockingMm) && finding.FlockingMm > policy.FlockingLimitMm) is { } deep)
            return Without(AdviceKind.TreeOnly, AdviceWords.TooDeep(deep, policy));
        return Search([.. findings.Where(finding => finding.Severity is Severity.Out or Severity.Watch)]);
    }

    // Wool can be taken out too, of no zone more than half of what is there (our choice); a shim only adds.
    private (int, int) Bounds()
    {
        var most = (int)policy.FlockingLimitMm;
        if (how != AdjustmentKind.Flocking || EffectiveTree.On(pairing, on) is not { } tree)
            return (0, most);
        var panel = tree.PanelWith(0);
        var thinnest = new[] { panel.Left, panel.Right }.Min(side => Math.Min(side.FrontMm, Math.Min(side.MiddleMm, side.RearMm)));
        return (-Math.Clamp((int)(thinnest / 2), 0, most), most);
    }

    private PanelAdvice Search(List<Finding> flagged)
    {
        var search = new PanelSearch(asIs, trends, Laid, on, last);
        var isLong = Within(asIs);
        if (search.LostDays < policy.MoveDays)
            return Leave(flagged, isLong);
        var equal = Tried(search.Best(PanelZones.EqualSteps, bounds), isLong);
        var best = trends.Back.Outline.SidesAreKnown ? Tried(search.Best(PanelZones.SideSteps, bounds), isLong) : equal;
        if (best.Within.ExpectedDays < equal.Within.ExpectedDays + policy.MoveDays)
            best = equal;
        if (best.Within.ExpectedDays < isLong.ExpectedDays + policy.MoveDays)
            return Leave(flagged, isLong);
        if (best.Panel.IsUnequal && Signs.OpenVetFirst(trends.Facts, policy).Count > 0)
            return new PanelAdvice(AdviceKind.VetFirst, [], isLong, null, AdviceWords.VetFirst);
        var (kind, zones) = (how == AdjustmentKind.Flocking ? AdviceKind.Flocking : AdviceKind.Shims, best.Panel.Changes);
        return new PanelAdvice(kind, zones, isLong, best.Within, $"{AdviceWords.Adjust(how, zones)} {AdviceWords.Brings(isLong, best.Within, policy)}");
    }

    private PanelAdvice Leave(List<Finding> flagged, TimeWithin isLong) => flagged.Find(finding => finding.Severity == Severity.Out) is { } left
        ? new PanelAdvice(AdviceKind.TreeOnly, [], isLong, null, AdviceWords.TooMuch(left, how, bounds.MostMm))
        : new PanelAdvice(AdviceKind.NothingToDo, [], isLong, null, AdviceWords.NothingToDo(how, bounds.MostMm, isLong, Forecast(asIs).DriverBy(isLong.RiskLimitOn ?? last), policy));

    // Half of it stands beside what the search found, because the search goes by the expected back alone.
    private (PanelZones Panel, TimeWithin Within) Tried(PanelZones found, TimeWithin isLong)
    {
        if (found.IsNone)
            return (found, isLong);
        PanelZones[] panels = [found, .. found.Most > 1 ? [found.Halved] : Array.Empty<PanelZones>()];
        return panels.Select(panel => (panel, Within(FitWith(panel)))).MaxBy(tried => tried.Item2.ExpectedDays);
    }

    private PanelAdvice Without(AdviceKind kind, string text) => new(kind, [], PairingForecast.TryMake(asIs, last, out _) ? Within(asIs) : null, null, text);

    private TimeWithin Within(PairingFit fit)
    {
        var forecast = Forecast(fit);
        var days = Enumerable.Range(0, last.DayNumber - on.DayNumber).Sum(day => 1 - forecast.At(on.AddDays(day)).OutBy);
        return new TimeWithin(forecast.At(on).OutOn, forecast.ReachedOn(policy.RiskLimit, on), forecast.ReachedOn(.5, on), days);
    }

    private PairingForecast Forecast(PairingFit fit) => PairingForecast.TryMake(fit, last, out var forecast)
        ? forecast
        : throw new InvalidOperationException("A saddle that was laid on a back moves with it.");

    private PairingFit FitWith(PanelZones panel) => new(With(panel), trends, policy, on, (on, last));

    private LaidSaddle Laid(PanelZones panel)
    {
        var changed = With(panel);
        return new LaidSaddle(trends.Back, EffectiveTree.On(changed, on)!, changed.TreeFrontFromT8Mm!.Value, changed.PadMm);
    }

    private PairingFact With(PanelZones panel) => pairing.Changed(on, (how, panel.IsNone ? NoChange : panel.Changes));
}
