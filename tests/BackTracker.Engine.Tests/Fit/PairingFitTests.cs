using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Fit;

public class PairingFitTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    [Fact]
    public void On_tree_that_follows_the_back_finds_nothing_out_and_names_what_is_not_known()
    {
        var findings = Larkfield.FitOn(TracedHorse.Settled, Day);
        Assert.Equal(
            ["width@T8", "width@T13", "width@T18", "angle@T8", "angle@T13", "angle@T18", "channel", "pommel-clearance", "spine-clearance", "bridging", "rocking", "balance", "reach", "shoulder-room", "angle-difference", "roll"],
            findings.Select(finding => finding.Key.ToString()));
        Assert.DoesNotContain(findings, finding => finding.Severity == Severity.Out);
        Assert.All(findings.Where(finding => finding.Key.Measure is Measure.Width or Measure.Angle or Measure.Bridging or Measure.Rocking or Measure.Balance), finding => Assert.Equal(Severity.Ok, finding.Severity));
        Assert.All(findings.TakeLast(2), finding => Assert.Equal((Severity.Unknown, null), (finding.Severity, finding.Numbers)));
        Assert.Equal("Not known: roll.", findings[^1].Text);
        Assert.Equal(
            ["Mark the midline and a level line on every trace: without both, left and right cannot be told apart. Not known until then: angle of left against right and roll."],
            FitOf(TracedHorse.Settled).Missing);
    }

    // The values are those of the saddle laid on the expected back; what the spread of the back adds is small on the day of a session.
    [Fact]
    public void On_values_are_those_of_the_saddle_laid_on_the_expected_back()
    {
        var facts = TracedHorse.Settled with { Pairings = [TracedHorse.Pairing("a", -5)] };
        var back = new HorseTrends(facts, TrendModel.Shipped).Back;
        var tree = EffectiveTree.On(facts.Pairings[0], Day)!;
        var laid = tree.LaidAt(TracedHorse.FrontMm);
        var direct = SaddleFit.Of(back.Outline.Of(back.On(Day).Means), laid, tree.PanelWith(0), FitSetting.For(laid));
        var findings = Larkfield.FitOn(facts, Day);
        double Value(string key) => findings.Single(finding => finding.Key.ToString() == key).Numbers!.Value.Value;
        Assert.Equal(direct.Stations[1].WidthMismatch150Mm!.Value, Value("width@T13"), .3);
        Assert.Equal(direct.Stations[0].AngleMismatchDeg!.Value, Value("angle@T8"), .1);
        Assert.Equal(direct.RockingMm, Value("rocking"), .5);
        Assert.Equal(direct.Rest.PitchDeg, Value("balance"), .1);
        Assert.Equal(direct.LeftBridging.MostMm, Value("bridging"), .6);
    }

    // One fitting is 2 cm across the points (Meschan, Peham, Schobesberger and Licka 2007, Vet J 173:578-584): a tree a fitting narrow is out
    // and one a fitting wide is out or nearly, half a fitting either way is watched or well inside.
    [Theory]
    [InlineData(-10, Severity.Out, true)]
    [InlineData(-5, Severity.Watch, true)]
    [InlineData(0, Severity.Ok, false)]
    [InlineData(14, Severity.Out, false)]
    public void On_tree_opened_at_its_edges_by_so_much_a_side(double openedMm, Severity worst, bool narrow)
    {
        var findings = Larkfield.FitOn(TracedHorse.Settled with { Pairings = [TracedHorse.Pairing("a", openedMm)] }, Day);
        var ofWidth = findings.Where(finding => MeasureFacts.IsOfWidth(finding.Key.Measure)).ToList();
        Assert.Equal(worst, ofWidth.Max(finding => finding.Severity));
        Assert.Equal(narrow, ofWidth.Any(finding => finding.IsNarrow));
        Assert.All(ofWidth, finding => Assert.Equal(double.PositiveInfinity, finding.FlockingMm));
    }

    [Fact]
    public void On_marked_traces_bring_the_sides()
    {
        var facts = TracedHorse.Sessions((id, on, _) => TracedHorse.Session(id, on, asymmetryPct: 8));
        var findings = Larkfield.FitOn(facts, Day).ToDictionary(finding => finding.Key.ToString());
        Assert.True(findings["roll"].Numbers!.Value.Value < 0, "The left side is the narrower one, so that the saddle sinks on it.");
        Assert.Contains("down on the left", findings["roll"].Text, StringComparison.Ordinal);
        Assert.True(findings.ContainsKey("bridging@left") && findings.ContainsKey("bridging@right") && findings.ContainsKey("angle-difference@T13"));
        Assert.Equal(8, findings["asymmetry150@T13"].Numbers!.Value.Value, .3);
        Assert.Equal(Severity.Watch, findings["asymmetry150@T13"].Severity);
    }

    // Left larger at the withers in 70 % of scans (Tabor, Marlin and Williams 2022): an uneven back is shown and alarms nobody.
    [Fact]
    public void Assess_uneven_back_alone_calls_nobody()
    {
        var facts = TracedHorse.Sessions((id, on, _) => TracedHorse.Session(id, on, asymmetryPct: 25)) with { Pairings = [Larkfield.Pairing("a", 304)] };
        var assessment = facts.Assess();
        Assert.Equal(Severity.Watch, assessment.Pairings[0].Findings.Single(finding => finding.Key.ToString() == "asymmetry150@T13").Severity);
        Assert.Equal(RideAdvice.NothingAgainst, assessment.Pairings[0].Advice);
        Assert.DoesNotContain(assessment.Wanted.SelectMany(want => want.Reasons), reason => reason.Cause == Engine.Checks.Cause.OutNow);
    }

    public static TheoryData<string, string> Lacks() => new()
    {
        { "front", "Measure how far the tree's front edge lies behind T8 on this horse. Not known until then: width, room over the withers, room over the spine, bridging, rocking, balance, where the tree ends and room behind the shoulder blade." },
        { "topline", "Trace the topline along the spine, against a level line. Not known until then: room over the withers, room over the spine, bridging, rocking and balance." },
        { "places", "Measure how far T13 and T18 lie behind T8. Not known until then: width, room over the withers, room over the spine, bridging, rocking and balance." },
        { "station", "Trace the back at T8, T13 and T18, or measure their widths at 30 and 150 mm. Not known until then: width, room over the withers, room over the spine, bridging, rocking and balance." },
        { "support", "Measure from the rear edge of the shoulder blade to the last rib. Not known until then: room behind the shoulder blade." },
        { "treeless", "A treeless saddle has no rigid tree to lay on the back." },
        { "tree", "Measure the tree of Trail saddle a: by its two sides at several places, or 150 mm below its middle at T8, T13 and T18." },
        { "widths", "Measure the tree by its two sides at several places from front to rear: that brings angle, clearance, bridging, rocking and balance." },
        { "narrow-traces", "The traces end above the lower edge of the panel: trace further down the sides. Not known until then: width, room over the withers, room over the spine, bridging, rocking and balance." },
    };

    [Theory]
    [MemberData(nameof(Lacks))]
    public void Missing_names_the_measurement_that_would_bring_it(string lack, string mending)
    {
        var facts = Without(lack);
        var fit = FitOf(facts);
        Assert.Contains(mending, fit.Missing);
        Assert.Equal(fit.Missing.Count, fit.Missing.Distinct().Count());
        Assert.DoesNotContain(fit.On(Day), finding => finding.Key.Measure == Measure.Bridging && finding.Numbers is not null && lack is not "support");
    }

    [Fact]
    public void On_widths_only_horse_under_a_tree_by_sides_is_modelled_and_said_so()
    {
        var facts = TracedHorse.Settled with { Sessions = [.. TracedHorse.Settled.Sessions.Select(session => session with { Readings = [.. session.Readings.Where(reading => reading.Metric.DepthMm is null or 30 or 150)] })] };
        var fit = FitOf(facts);
        Assert.True(fit is { IsLaid: true, IsModelled: true });
        // There is no trace that could be marked.
        Assert.Equal(["Trace the back with midline and level line marked: widths alone do not tell left from right. Not known until then: angle of left against right and roll."], fit.Missing);
        // The invented back is a power curve, so that the model of two widths is the back itself.
        Assert.Equal(
            Larkfield.FitOn(TracedHorse.Settled, Day).Single(finding => finding.Key.ToString() == "width@T13").Numbers!.Value.Value,
            fit.On(Day).Single(finding => finding.Key.ToString() == "width@T13").Numbers!.Value.Value, 1.0);
    }

    [Fact]
    public void On_later_days_are_less_sure_and_what_stands_still_is_not()
    {
        var fit = new PairingFit(TracedHorse.Settled.Pairings[0], new HorseTrends(TracedHorse.Settled, TrendModel.Shipped), Larkfield.Policy, Day, (Day, Day.AddDays(200)));
        var (now, later) = (fit.On(Day).ToDictionary(finding => finding.Key), fit.On(Day.AddDays(200)).ToDictionary(finding => finding.Key));
        var (width, reach) = (new FindingKey(Measure.Width, Station.Of(13)), new FindingKey(Measure.Reach));
        Assert.True(later[width].Numbers!.Value.Sd > 1.5 * now[width].Numbers!.Value.Sd);
        Assert.Equal(now[reach].Numbers, later[reach].Numbers);
    }

    [Fact]
    public void On_tree_before_the_day_asked_is_the_tree_of_that_day()
    {
        var pairing = TracedHorse.Pairing("a", -10).Adjusted(Day.AddDays(-3), AdjustmentKind.Tree, [.. TracedHorse.Both(Zone.Front, 10), .. TracedHorse.Both(Zone.Middle, 10), .. TracedHorse.Both(Zone.Rear, 10)]);
        var facts = TracedHorse.Settled with { Pairings = [pairing] };
        Assert.DoesNotContain(Larkfield.FitOn(facts, Day), finding => finding.IsNarrow);
        Assert.Contains(Larkfield.FitOn(facts, Day.AddDays(-4)), finding => finding.IsNarrow);
    }

    private static PairingFit FitOf(HorseFacts facts) => new(facts.Pairings[0], new HorseTrends(facts, TrendModel.Shipped), Larkfield.Policy, Day, (Day, Day));

    private static HorseFacts Without(string lack)
    {
        var facts = TracedHorse.Settled;
        HorseFacts Sessions(Func<SessionFact, SessionFact> change) => facts with { Sessions = [.. facts.Sessions.Select(change)] };
        HorseFacts Readings(Func<Reading, bool> keep) => Sessions(session => session with { Readings = [.. session.Readings.Where(keep)] });
        HorseFacts Pairing(Func<PairingFact, PairingFact> change) => facts with { Pairings = [change(facts.Pairings[0])] };
        return lack switch
        {
            "front" => Pairing(pairing => pairing with { TreeFrontFromT8Mm = null }),
            "topline" => Sessions(session => session with { Topline = [] }),
            "places" => Sessions(session => session with { StationPositionsMm = new Dictionary<Station, double>() }),
            "station" => Readings(reading => reading.Metric.Station is not { Vertebra: 13 or 18 }),
            "support" => Readings(reading => reading.Metric.Quantity != Quantity.SupportLength),
            "treeless" => Pairing(pairing => pairing with { Tree = TreeKind.Treeless }),
            "tree" => Pairing(pairing => pairing with { TreeShapes = [] }),
            "widths" => Pairing(_ => Larkfield.Pairing("a", 304)),
            _ => Readings(reading => reading.Metric.DepthMm is null or <= 90),
        };
    }
}
