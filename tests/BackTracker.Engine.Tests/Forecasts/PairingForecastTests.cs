using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Forecasts;

public class PairingForecastTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    private static readonly HorseFacts TwoStations = Larkfield.Settled with
    {
        Sessions = [.. Larkfield.Settled.Sessions, Larkfield.Session("t18", Day.AddDays(-3), 250, vertebra: 18)],
        Pairings = [Larkfield.Pairing("a", 292) with { TreeShapes = [new TreeShapeFact("t", new DateOnly(2026, 3, 1), [new(Station.Of(18), 256), new(Station.Of(13), 292)])] }],
    };

    [Fact]
    public void TryMake_curve_runs_from_the_last_evidence_to_the_end_of_the_horizon()
    {
        var curve = Assert.Single(Forecast(Larkfield.Settled).Measures);
        Assert.Equal((Day.AddDays(-7), Day.AddDays(365)), (curve.Days[0].Day, curve.Days[^1].Day));
        Assert.Equal(372 + 1, curve.Days.Count);
        Assert.Equal("width150@T13", curve.Key.ToString());
    }

    [Fact]
    public void TryMake_out_by_never_falls_and_counts_days_out_before()
    {
        var days = Forecast(Larkfield.Settled.WithTree(288)).Measures[0].Days;
        Assert.All(days, day => Assert.True(day.OutBy >= day.OutOn));
        Assert.All(days.Zip(days.Skip(1)), pair => Assert.True(pair.Second.OutBy >= pair.First.OutBy));
        Assert.True(days[^1].OutBy > days.Max(day => day.OutOn) + .05);
    }

    [Theory]
    [InlineData(288)]
    [InlineData(300)]
    public void TryMake_out_by_of_a_width_is_what_paths_stepped_day_by_day_do(double treeWidth)
    {
        var facts = Larkfield.Settled.WithTree(treeWidth);
        var curve = Forecast(facts).Measures[0];
        Assert.True(new HorseTrends(facts, TrendModel.Shipped).TryGet(Metric.Width(Station.Of(13), 150), out var trend));
        var limits = facts.Pairings[0].Tolerances.Of(Measure.Width150);
        double last = trend.Series.Points[^1].On.DayNumber - trend.Series.Points[0].On.DayNumber;
        PathStart[] starts = [.. trend.Posterior.States.Select(state => new PathStart(state.Weight, state.State, state.Point.DrivingVar, state.Point.TauDays))];

        var stepped = SteppedDaily.OutBy(starts, last, new Band(treeWidth - limits.OutAbove, treeWidth - limits.OutBelow), 365, 20_000, Larkfield.Policy.TreeMeasureSdMm);

        foreach (var ahead in new[] { 0, 28, 84, 182, 365 })
        {
            var day = curve.Days[0].Day.AddDays(ahead);
            Assert.Equal(Larkfield.Policy.WithSurprise(stepped[ahead], curve.Days[0].Day, day), curve.At(day).OutBy, .02);
        }
    }

    [Fact]
    public void TryMake_is_a_function_of_the_facts_and_not_of_the_day()
    {
        var today = Forecast(TwoStations);
        var later = Forecast(TwoStations, Day.AddDays(20));
        Assert.All(today.Overall, risk => Assert.Equal(risk, later.At(risk.Day)));
    }

    [Fact]
    public void TryMake_node_days_hold_the_probability_of_the_finding()
    {
        var curve = Forecast(Larkfield.Settled).Measures[0];
        var on = Day.AddDays(-7 + 70);
        var finding = Assert.Single(FitOn(on));
        Assert.Equal(finding.Numbers!.Value.ProbabilityOut, curve.At(on).OutOn, 1e-12);
        var between = FitOn(on.AddDays(3))[0].Numbers!.Value.ProbabilityOut;
        Assert.Equal(between, curve.At(on.AddDays(3)).OutOn, 1e-3);
    }

    [Fact]
    public void Overall_lies_between_findings_that_move_as_one_and_findings_that_know_nothing_of_each_other()
    {
        var tree = new TreeShapeFact("t", new DateOnly(2026, 3, 1), [new(Station.Of(18), 242), new(Station.Of(13), 291)]);
        var forecast = Forecast(TwoStations with { Pairings = [Larkfield.Pairing("a", 292) with { TreeShapes = [tree] }] });
        Assert.Equal([13, 18], forecast.Measures.Select(curve => curve.Key.Station!.Value.Vertebra));
        Assert.Equal(Day.AddDays(-3), forecast.Overall[0].Day);
        var (least, most) = (0.0, 0.0);
        foreach (var risk in forecast.Overall)
        {
            var (low, high) = forecast.BoundsBy(risk.Day);
            Assert.InRange(risk.OutBy, low, high);
            (least, most) = (Math.Max(least, risk.OutBy - low), Math.Max(most, high - risk.OutBy));
        }
        Assert.True(least > .01 && most > .001, $"It keeps to a bound: {least}, {most}.");
    }

    [Fact]
    public void DriverBy_is_the_finding_most_likely_out() => Assert.Equal(13, Forecast(TwoStations).DriverBy(Day.AddDays(60)).Key.Station!.Value.Vertebra);

    [Theory]
    [InlineData(.2, 289)]
    [InlineData(.5, 286)]
    public void ReachedOn_is_the_first_day_from_the_day_asked_on(double probability, double treeWidth)
    {
        var forecast = Forecast(Larkfield.Settled.WithTree(treeWidth));
        var reached = forecast.ReachedOn(probability, Day);
        Assert.NotNull(reached);
        Assert.True(forecast.At(reached.Value).OutBy >= probability);
        Assert.True(reached == Day || forecast.At(reached.Value.AddDays(-1)).OutBy < probability);
        Assert.Equal(Day.AddDays(300), forecast.ReachedOn(probability, Day.AddDays(300)));
        Assert.Null(forecast.ReachedOn(.999999, Day));
    }

    [Fact]
    public void TryMake_altered_tree_begins_anew()
    {
        var altered = Larkfield.Settled.WithTree(280);
        altered = altered with
        {
            Pairings = [altered.Pairings[0] with { Adjustments = [new AdjustmentFact("j", Day.AddDays(-1), AdjustmentKind.Tree, [new(Side.Left, Zone.Middle, 11), new(Side.Right, Zone.Middle, 11)])] }],
        };
        var forecast = Forecast(altered);
        Assert.Equal(Day.AddDays(-1), forecast.Overall[0].Day);
        Assert.True(forecast.Overall[0].OutBy < .1);
    }

    [Fact]
    public void TryMake_nothing_to_compare_makes_no_forecast() =>
        Assert.False(PairingForecast.TryMake(Laid(Larkfield.Blank with { Pairings = [Larkfield.Pairing("a", 300)] }, Day), Day, out _));

    private static PairingForecast Forecast(HorseFacts facts, DateOnly? today = null)
    {
        var last = (today ?? Day).AddDays(Larkfield.Policy.HorizonDays);
        Assert.True(PairingForecast.TryMake(Laid(facts, today ?? Day), last, out var forecast));
        return forecast;
    }

    private static PairingFit Laid(HorseFacts facts, DateOnly today) =>
        new(facts.Pairings[0], new HorseTrends(facts, TrendModel.Shipped), Larkfield.Policy, today, (today, today.AddDays(Larkfield.Policy.HorizonDays)));

    // The tree of a forecast is the tree of the day known, also on later days.
    private static IReadOnlyList<Finding> FitOn(DateOnly on) => Laid(Larkfield.Settled, Day).On(on);
}
