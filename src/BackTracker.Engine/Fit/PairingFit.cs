using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Sections;

namespace BackTracker.Engine.Fit;

/// <summary>Everything that can be said of a saddle on a horse over some days: the findings that could be had, and what the others lack.</summary>
public sealed class PairingFit
{
    private readonly List<FindingPath> paths = [];
    private readonly List<(FindingKey Key, string Text)> unknown = [];
    private readonly List<string> missing = [];
    private readonly PairingFact pairing;
    private readonly HorseTrends trends;
    private readonly CheckPolicy policy;
    private readonly (DateOnly First, DateOnly Last) asked;
    private readonly FitScope scope;
    private readonly EffectiveTree? tree;
    private LaidSaddle? laid;

    /// <summary>Lays the saddle of a pairing on the back as it was known.</summary>
    /// <param name="pairing">Pairing as of the day asked.</param>
    /// <param name="trends">Trends of the horse as of the day asked.</param>
    /// <param name="policy">Settings.</param>
    /// <param name="asOf">The day known: the tree is taken as it is then.</param>
    /// <param name="asked">First and last day that will be asked for.</param>
    public PairingFit(PairingFact pairing, HorseTrends trends, CheckPolicy policy, DateOnly asOf, (DateOnly First, DateOnly Last) asked)
        : this(pairing, trends, policy, asOf, asked, FitScope.Whole)
    {
    }

    /// <summary>The same, asked for some of its findings alone.</summary>
    /// <param name="pairing">Pairing as of the day asked.</param>
    /// <param name="trends">Trends of the horse as of the day asked.</param>
    /// <param name="policy">Settings.</param>
    /// <param name="asOf">The day known: the tree is taken as it is then.</param>
    /// <param name="asked">First and last day that will be asked for.</param>
    /// <param name="scope">Which findings; the others are not there.</param>
    internal PairingFit(PairingFact pairing, HorseTrends trends, CheckPolicy policy, DateOnly asOf, (DateOnly First, DateOnly Last) asked, FitScope scope)
    {
        ArgumentNullException.ThrowIfNull(pairing);
        ArgumentNullException.ThrowIfNull(trends);
        (this.pairing, this.trends, this.policy, this.asked, this.scope) = (pairing, trends, policy, asked, scope);
        tree = EffectiveTree.On(pairing, asOf);
        if (pairing.Tree == TreeKind.Treeless)
            missing.Add(FitFaults.Sentence(FitFault.NoRigidTree));
        else if (tree is null || (tree.Widths.Count == 0 && tree.Shape.Stations.Count == 0))
            missing.Add(FitWords.MeasureTree(pairing.SaddleLabel));
        else
            Compare(tree);
        AddAsymmetries();
        paths.RemoveAll(path => !scope.Holds(path.Key.Measure));
        // By measure, then from front to rear, left before right.
        paths.Sort((a, b) => (a.Key.Measure, a.Key.Station, a.Key.Side).CompareTo((b.Key.Measure, b.Key.Station, b.Key.Side)));
    }

    /// <summary>Which measurements would bring the findings that could not be had, each once with its findings, in words; empty where nothing is missing.</summary>
    public IReadOnlyList<string> Missing => [.. missing.Select(text => FitWords.Missing(text, unknown.Where(lack => lack.Text == text).Select(lack => lack.Key)))];

    /// <summary>Whether the tree was laid on the back, rather than widths compared.</summary>
    public bool IsLaid => laid is not null;

    /// <summary>Whether some section under the saddle is only modelled from two widths.</summary>
    public bool IsModelled => laid is not null && trends.Back.Outline.IsModelled;

    /// <summary>Stations of the back under the tree, front to rear; none where it was not laid.</summary>
    public IReadOnlyList<Station> Covered => [.. laid?.Covered ?? []];

    /// <summary>The section of a covered station on a day with the panel over it as it lies.</summary>
    /// <exception cref="InvalidOperationException">The station is not under the tree.</exception>
    public SectionUnderTree SectionOn(Station station, DateOnly day) => Covered.Contains(station)
        ? laid!.SectionOn(station, day)
        : throw new InvalidOperationException($"{station} does not lie under the tree.");

    /// <summary>The saddle under its rider on a day, or what it would take to tell.</summary>
    public RiddenFit Under(RiderLoad load, DateOnly day)
    {
        if (laid is null || !trends.Back.Outline.HasTopline)
            return new RiddenFit([], "", Missing);
        try
        {
            var findings = On(day);
            double? ValueOf(FindingKey key) => findings.First(finding => finding.Key == key).Numbers?.Value;
            return new RiddenFit(laid.Under(load, day), FrontAndRear.Say(ValueOf(new(Measure.Balance))!.Value, Covered[0], ValueOf(new(Measure.Angle, Covered[0])), pairing.Tolerances), []);
        }
        catch (GeometryException refused)
        {
            return new RiddenFit([], "", [FitFaults.Sentence(refused.Fault)]);
        }
    }

    /// <summary>The back it is laid on.</summary>
    internal BackTrends Back => trends.Back;

    /// <summary>The paths of the findings that are a matter of the saddle.</summary>
    internal IEnumerable<FindingPath> OfSaddle => paths.Where(path => MeasureFacts.IsOfSaddle(path.Key.Measure));

    /// <summary>The findings on a day, by measure and from front to rear; unknown ones last.</summary>
    public IReadOnlyList<Finding> On(DateOnly day) =>
        [.. paths.Select(path => FindingOf(path, day)), .. unknown.Select(lack => Unknown(lack.Key, day))];

    private string ShapeId => tree?.ShapeId ?? "";

    private void Compare(EffectiveTree tree)
    {
        foreach (var width in tree.Widths)
            CompareWidth(tree, width);
        if (tree.Shape.Stations.Count == 0)
        {
            missing.Add(FitWords.MeasureSides);
            return;
        }
        if (pairing.TreeFrontFromT8Mm is not { } front)
        {
            Lack(FitWords.MeasureFront, [Measure.Width, .. FitWords.OfForm, Measure.Reach, Measure.ShoulderRoom]);
            return;
        }
        try
        {
            Lay(tree, front);
        }
        catch (GeometryException refused)
        {
            Lack(FitWords.Mend(refused.Fault, trends.Back), [Measure.Width, .. FitWords.OfForm]);
        }
        AddPlace(tree, front);
    }

    private void CompareWidth(EffectiveTree tree, TreeWidth width)
    {
        var key = new FindingKey(Measure.Width150, width.Station);
        var metric = Metric.Width(width.Station, WidthFit.DepthMm);
        if (!trends.TryGet(metric, out var trend))
        {
            Lack(FitWords.MeasureWidth(width.Station), key);
            return;
        }
        var evidence = DayOrder.Later(trend.Series.Points[^1].On, DayOrder.Later(tree.Since, pairing.From));
        paths.Add(new WidthPath(key, pairing.Tolerances.Of(key.Measure), evidence, width.Width150Mm, trend, trends.Back, policy));
    }

    private void Lay(EffectiveTree tree, double frontMm)
    {
        var back = trends.Back;
        if (back.Outline.Stations.Count() < 2)
            throw new GeometryException(FitFault.TooFewStations);
        laid = new LaidSaddle(back, tree, frontMm, pairing.PadMm);
        var evidence = DayOrder.Later(back.LastOn, DayOrder.Later(tree.PanelSince, pairing.From));
        var first = asked.First < evidence ? asked.First : evidence;
        var forecast = new LaidForecast(laid, back, first, asked.Last > first ? asked.Last : first, scope);
        for (var i = 0; i < laid.Keys.Count; i++)
        {
            var key = laid.Keys[i];
            if (double.IsNaN(forecast.On(first, i).Value))
                Lack(FitWords.TraceDeeper(key.Station), key);
            else
                paths.Add(new LaidPath(key, pairing.Tolerances.Of(key.Measure), evidence, back, forecast, i, policy) { Near = laid.NearestTo(forecast.Begin, key), Third = laid.ThirdOf(forecast.Begin, key) });
        }
        paths.Add(Standing(Measure.Channel, tree.PanelSince, laid.NarrowestChannelMm));
        if (!back.Outline.HasTopline)
            Lack(FitWords.TraceTopline, FitWords.OfForm);
        if (!back.Outline.SidesAreKnown)
            Lack(back.Outline.HasUnmarkedTraces ? FitWords.MarkSides : FitWords.TraceSides, [Measure.AngleDifference, .. back.Outline.HasTopline ? [Measure.Roll] : Array.Empty<Measure>()]);
    }

    private void AddPlace(EffectiveTree tree, double frontMm)
    {
        if (!trends.Back.Outline.PositionsMm.TryGetValue(Station.Of(Station.Last), out var lastRib))
        {
            Lack(FitWords.MeasureLastRib, [Measure.Reach, Measure.ShoulderRoom]);
            return;
        }
        paths.Add(Standing(Measure.Reach, tree.Since, frontMm + tree.LengthMm - lastRib));
        if (trends.TryGet(new Metric(Quantity.SupportLength), out var support))
            paths.Add(Standing(Measure.ShoulderRoom, DayOrder.Later(tree.Since, support.Series.Points[^1].On), frontMm - (lastRib - support.On(support.Series.Points[^1].On).Mean)));
        else
            Lack(FitWords.MeasureSupport, [Measure.ShoulderRoom]);
    }

    private StandingPath Standing(Measure measure, DateOnly since, double value) => new(
        new FindingKey(measure), pairing.Tolerances.Of(measure), DayOrder.Later(since, pairing.From), value, MeasureFacts.TreeSd(measure, policy.TreeMeasureSdMm));

    private void AddAsymmetries()
    {
        foreach (var (depth, measure) in new[] { (150, Measure.Asymmetry150), (30, Measure.Asymmetry30) })
        {
            foreach (var station in trends.MeasuredWidths.Select(metric => metric.Station!.Value).Distinct())
            {
                if (trends.TryGet(new Metric(Quantity.Asymmetry, station, depth), out var trend))
                    paths.Add(new AsymmetryPath(new FindingKey(measure, station), pairing.Tolerances.Of(measure), trend, policy));
            }
        }
    }

    private void Lack(string text, params IEnumerable<Measure> measures)
    {
        foreach (var measure in measures)
            unknown.Add((new FindingKey(measure), text));
        if (!missing.Contains(text))
            missing.Add(text);
    }

    private void Lack(string text, FindingKey key)
    {
        unknown.Add((key, text));
        if (!missing.Contains(text))
            missing.Add(text);
    }

    private Finding FindingOf(FindingPath path, DateOnly day)
    {
        var numbers = path.On(day);
        var before = pairing.LastSeverities.GetValueOrDefault(path.Key.ToString(), Severity.Unknown);
        var severity = SeverityRule.Of(path.Key.Measure, numbers, path.Limits, before, policy);
        return new Finding(path.Key, day, ShapeId, path.Limits, numbers, severity, FitWords.Finding(path.Key, FitWords.Where(path.Near, path.Third), numbers, path.Limits, severity))
        {
            Near = path.Near,
            Third = path.Third,
            FlockingMm = laid is null ? double.PositiveInfinity : Flocking.NeededMm(path.Key.Measure, numbers.Value, laid.LengthMm, laid.BetweenPanelsMm),
        };
    }

    private Finding Unknown(FindingKey key, DateOnly day) =>
        new(key, day, ShapeId, pairing.Tolerances.Of(key.Measure), null, Severity.Unknown, FitWords.Unknown(key)) { Near = key.Station };
}
