using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Commissions;

public class RemeasureTests
{
    private static readonly DateOnly Day = Larkfield.Today;
    private static readonly DateOnly Measured = new(2026, 3, 2);

    [Theory]
    [InlineData(55, .95, 0)]
    [InlineData(56, .95, 1)]
    [InlineData(55, .89, 1)]
    [InlineData(56, .89, 2)]
    public void Need_old_measurement_or_doubtful_fit_is_a_reason(int days, double fits, int reasons) =>
        Assert.Equal(reasons, Need(CommissionStage.TemplateSent, Measured, days, fits)?.Reasons.Count ?? 0);

    [Fact]
    public void Need_is_due_by_what_moves_it_at_once_where_that_has_passed_and_never_after_delivery()
    {
        Assert.Equal(Measured.AddDays(28), Need(CommissionStage.TreeCut, Measured, 10, .5)!.By);
        Assert.Equal(Measured.AddDays(80), Need(CommissionStage.TreeCut, Measured, 80, null)!.By);
        Assert.Null(Need(CommissionStage.Delivered, null, 0, .1));
        Assert.Equal("The back was never measured: measure it before the tree is cut.", Assert.Single(Need(CommissionStage.Ordered, null, 0, null)!.Reasons));
    }

    [Theory]
    [InlineData(140, 28)]
    [InlineData(20, 20)]
    [InlineData(-5, 28)]
    public void Reasons_doubtful_fit_is_measured_as_a_back_in_change_and_at_the_latest_on_the_day_of_delivery(int deliveryAfter, int dueAfter)
    {
        var reason = Remeasure.Reasons(CommissionStage.Altered, Measured, Measured.AddDays(deliveryAfter), .5, Larkfield.Policy).First();
        Assert.Equal((Cause.CommissionRisk, Measured.AddDays(dueAfter)), (reason.Cause, reason.DueOn));
    }

    [Fact]
    public void Assess_saddle_that_may_not_fit_asks_for_a_remeasure_in_its_own_words()
    {
        var facts = Horse(Order(280, CommissionStage.TemplateSent));
        var open = Assert.Single(facts.Assess(Day.AddDays(14)).Decisions.OfType<CheckDecision.Open>(), open => open.Check.Kind == CheckKind.Remeasure);
        Assert.Equal(Day.AddDays(21), open.Check.Days.DueOn);
        var reason = open.Check.Reasons[0];
        Assert.Equal((Cause.CommissionRisk, "k", "probability"), (reason.Cause, reason.SourceId, reason.Unit));
        Assert.Equal("New saddle is being made. On 20 August 2026 the tree fits with 8 %: measure again before the tree is cut.", reason.Text);
    }

    [Fact]
    public void Assess_saddle_that_fits_asks_once_the_measurement_is_as_old_as_an_old_template()
    {
        var facts = Horse(Order(302, CommissionStage.TreeCut)) with { Phases = [new PhaseFact("p", new DateOnly(2025, 1, 1), Phase.Rest)] };
        var wants = facts.Wanted(CheckKind.Remeasure, Day)!;
        Assert.Contains(wants.Reasons, reason => reason is { Cause: Cause.CommissionAge, Text: "New saddle is being made. Last measured on 25 May 2026: measure again before it is covered." });
        Assert.Equal(Day.AddDays(49), wants.Days.DueOn);
    }

    [Theory]
    [InlineData(CommissionStage.Delivered)]
    [InlineData(CommissionStage.Refused)]
    public void Assess_saddle_that_is_made_or_refused_asks_for_nothing(CommissionStage stage) =>
        Assert.Equal(Larkfield.Settled.Assess().Wanted, Horse(Order(280, stage)).Assess().Wanted, (one, other) => one.Reasons.SequenceEqual(other.Reasons));

    [Fact]
    public void Assess_remeasure_for_a_saddle_being_made_is_done_by_the_measurement_and_decides_nothing_the_second_time()
    {
        var (asked, day) = (Horse(Order(280, CommissionStage.TemplateSent)), Day.AddDays(14));
        var open = asked.Apply(asked.Assess(day));
        Assert.Empty(open.Assess(day).Decisions);

        var measured = open.With(Larkfield.Session("again", day.AddDays(1), 300));
        var done = Assert.IsType<CheckDecision.Complete>(Assert.Single(measured.Assess(day.AddDays(1)).Decisions));
        Assert.Equal("Measured on 16 June 2026.", done.Note);
    }

    [Fact]
    public void Assess_remeasure_for_a_saddle_being_made_waits_for_its_other_causes_when_it_is_refused()
    {
        var (asked, day) = (Horse(Order(280, CommissionStage.TemplateSent)), Day.AddDays(14));
        var open = asked.Apply(asked.Assess(day)) with { Commissions = [Order(280, CommissionStage.Refused)] };
        var revised = Assert.IsType<CheckDecision.Revise>(Assert.Single(open.Assess(day).Decisions));
        Assert.Equal("Due on 6 July 2026 instead of 22 June 2026.", revised.Note);
        Assert.Equal(Cause.MeasurementAge, Assert.Single(revised.Reasons).Cause);
    }

    [Fact]
    public void Assess_horse_for_which_nothing_is_made_says_the_same_as_before() => Assert.Empty(Larkfield.Settled.Assess().Commissions);

    [Fact]
    public void Assess_commission_goes_by_the_tree_that_came_since_it_was_cut_and_by_what_was_known_on_the_day()
    {
        var order = Order(302, CommissionStage.TreeCut);
        var came = order with { Measured = [Shape("before", Day.AddDays(-2), 302), Shape("came", Day.AddDays(5), 280)] };
        Assert.Null(came.AsOf(Day).Came);
        Assert.Equal("came", came.Came!.Id);
        Assert.True(Assert.Single(Horse(came).Assess(Day).Commissions).ProbabilityFits > .8);
        Assert.True(Assert.Single(Horse(came).Assess(Day.AddDays(5)).Commissions).ProbabilityFits < .2);
        Assert.Empty(Horse(came).Assess(Day.AddDays(-100)).Commissions);
    }

    private static RemeasureNeed? Need(CommissionStage stage, DateOnly? measured, int daysAfter, double? fits) =>
        Remeasure.Need(stage, measured, Measured.AddDays(daysAfter), Measured.AddDays(140), fits, Larkfield.Policy);

    /// <summary>A grown horse of settled width, for which a saddle is being made.</summary>
    private static HorseFacts Horse(CommissionFact commission) => Larkfield.Settled with { Commissions = [commission] };

    /// <summary>Ordered some weeks ago; the last stage was reached today.</summary>
    private static CommissionFact Order(double treeMm, CommissionStage stage) => new(
        "k", Day.AddDays(80), [new(CommissionStage.Ordered, Day.AddDays(-60)), new(stage, Day)],
        Larkfield.Pairing("k", treeMm) with { SaddleLabel = "New saddle" }, []);

    private static TreeShapeFact Shape(string id, DateOnly from, double widthMm) => new(id, from, [new TreeWidth(BackTracker.Engine.Measures.Station.Of(13), widthMm)]);
}
