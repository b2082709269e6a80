using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Fit;

public class WidthFitTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    [Theory]
    [InlineData(302, Severity.Ok)]
    [InlineData(290, Severity.Watch)]
    [InlineData(312, Severity.Watch)]
    [InlineData(280, Severity.Out)]
    [InlineData(326, Severity.Out)]
    public void On_tree_against_a_steady_back_of_300(double treeWidth, Severity expected)
    {
        var finding = Find(Larkfield.Settled.WithTree(treeWidth));
        Assert.Equal(expected, finding.Severity);
        Assert.InRange(finding.Numbers!.Value.Value, treeWidth - 301, treeWidth - 299);
    }

    [Theory]
    [InlineData(Severity.Unknown, Severity.Ok)]
    [InlineData(Severity.Ok, Severity.Ok)]
    [InlineData(Severity.Watch, Severity.Watch)]
    [InlineData(Severity.Out, Severity.Watch)]
    public void On_flag_comes_off_later_than_it_goes_on(Severity last, Severity expected)
    {
        var pairing = Larkfield.Pairing("a", 290) with
        {
            Tolerances = new FitTolerances(new Dictionary<Measure, Limits> { [Measure.Width150] = new(-14, -13, 19, 20) }),
            LastSeverities = new Dictionary<string, Severity> { ["width150@T13"] = last },
        };
        var finding = Find(Larkfield.Settled with { Pairings = [pairing] });
        Assert.InRange(finding.Numbers!.Value.ProbabilityOut, .05, .0999);
        Assert.Equal(expected, finding.Severity);
    }

    // Less room for a narrow tree than for a wide one: padding never cures a narrow saddle.
    [Fact]
    public void On_narrow_tree_is_out_sooner_than_a_wide_one() =>
        Assert.True(Find(Larkfield.Settled.WithTree(285)).Numbers!.Value.ProbabilityOut > Find(Larkfield.Settled.WithTree(315)).Numbers!.Value.ProbabilityOut);

    [Fact]
    public void On_station_never_measured_is_unknown_and_names_the_measurement()
    {
        var facts = Larkfield.Settled with { Pairings = [Larkfield.Pairing("a", 300, vertebra: 8)] };
        var finding = Find(facts);
        Assert.Equal((Severity.Unknown, null), (finding.Severity, finding.Numbers));
        Assert.Equal("Not known: width at T8.", finding.Text);
        Assert.Equal("Measure T8 width at 150 mm.", facts.Assess().Pairings[0].Missing[0]);
        Assert.Null(facts.Assess().Pairings[0].Outlook);
    }

    [Fact]
    public void On_tree_without_widths_says_to_measure_the_tree()
    {
        var pairing = Larkfield.Pairing("a", 300) with { TreeShapes = [] };
        var view = (Larkfield.Settled with { Pairings = [pairing] }).Assess().Pairings[0];
        Assert.Empty(view.Findings);
        Assert.Contains("Measure the tree of Trail saddle a: by its two sides at several places, or 150 mm below its middle", view.Missing[0], StringComparison.Ordinal);
    }

    [Fact]
    public void On_text_holds_numbers_and_units() =>
        Assert.Matches(@"^Out of tolerance\. Tree 2\d mm narrower than the back at T13 \(limit 14\): chance of being out \d\d %|over 99 %\.$", Find(Larkfield.Settled.WithTree(280)).Text);

    [Fact]
    public void Numbers_tree_measured_worse_is_less_sure()
    {
        var coarse = Numbers(314, Larkfield.Policy with { TreeMeasureSdMm = 6 });
        var fine = Numbers(314, Larkfield.Policy with { TreeMeasureSdMm = 0 });
        Assert.True(coarse.ProbabilityHigh > fine.ProbabilityHigh);
        Assert.Equal(coarse.Widths!.Value.BackSdMm, fine.Sd, 1e-9);
        Assert.Equal(double.Hypot(6, fine.Widths!.Value.BackSdMm), coarse.Sd, 1e-9);
    }

    // The surprise hazard of .0002 a day: P <- 1 - (1 - P) e^(-.0002 t), t days after the last session.
    [Fact]
    public void Numbers_surprises_grow_with_the_days_since_the_last_session()
    {
        var numbers = Numbers(302, Larkfield.Policy, Day.AddDays(43));
        var margin = numbers.ProbabilityLow + numbers.ProbabilityHigh;
        Assert.Equal(1 - ((1 - margin) * Math.Exp(-.0002 * 50)), numbers.ProbabilityOut, 1e-12);
        var without = Numbers(302, Larkfield.Policy, Day.AddDays(-7));
        Assert.Equal(without.ProbabilityLow + without.ProbabilityHigh, without.ProbabilityOut, 1e-12);
    }

    // Averaging a normal forecast over a normal error of the tree is a normal with both variances added.
    [Fact]
    public void Numbers_tree_error_adds_to_the_variance_against_draws()
    {
        var trends = new HorseTrends(Larkfield.Settled, TrendModel.Shipped);
        Assert.True(trends.TryGet(Larkfield.T13, out var trend));
        var back = trend.On(Day);
        var numbers = WidthFit.Numbers(290, trend, FitTolerances.Usual(Measure.Width150), Larkfield.Policy, Day);
        // A fine midpoint rule over the tree's error as an independent quadrature.
        double narrow = 0, total = 0;
        for (var z = -7.995; z < 8; z += .01)
        {
            var weight = Math.Exp(-z * z / 2);
            total += weight;
            narrow += weight * back.ProbabilityAbove(290 + (2 * z) + 14);
        }
        Assert.Equal(narrow / total, numbers.ProbabilityLow, 2e-4);
    }

    private static FindingNumbers Numbers(double treeWidth, CheckPolicy policy, DateOnly? on = null)
    {
        Assert.True(new HorseTrends(Larkfield.Settled, TrendModel.Shipped).TryGet(Larkfield.T13, out var trend));
        return WidthFit.Numbers(treeWidth, trend, FitTolerances.Usual(Measure.Width150), policy, on ?? Day);
    }

    private static Finding Find(HorseFacts facts) => Assert.Single(Larkfield.FitOn(facts, Day));
}
