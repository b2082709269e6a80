using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Alerts;

public class CommissionsAtRiskTests
{
    private static readonly DateOnly Day = Larkfield.Today;
    private static readonly DateOnly Delivery = Day.AddDays(80);

    [Fact]
    public void Decide_saddle_that_will_hardly_fit_is_one_alert_until_it_fits_again()
    {
        var horse = Horse(280);
        var problem = Assert.IsType<AlertChange.Raise>(Assert.Single(horse.Assess())).Problem;
        Assert.Equal((Concern.Commission, Cause.CommissionRisk, "k", Urgency.Soon, Delivery), (problem.Key.Concern, problem.Key.Cause, problem.Key.CommissionId, problem.Urgency, problem.DueOn));
        Assert.Equal("Commission/CommissionRisk/////k", problem.Key.ToString());
        Assert.StartsWith("New saddle is being made and will hardly fit when it comes home on 20 August 2026: ", problem.Text, StringComparison.Ordinal);
        Assert.Empty(horse.Again());

        horse.Facts = horse.Facts with { Commissions = [Order(302)] };
        Assert.Matches("^It fits with [0-9]+ % on 20 August 2026 now.$", Assert.IsType<AlertChange.Settle>(Assert.Single(horse.Assess())).Why);
        Assert.Empty(horse.Assess());
    }

    [Fact]
    public void Decide_saddle_that_is_delivered_settles_it()
    {
        var horse = Horse(280);
        horse.Assess();
        horse.Facts = horse.Facts with { Commissions = [Order(280) with { Steps = [new(CommissionStage.Ordered, Day.AddDays(-60)), new(CommissionStage.Delivered, Day)] }] };
        Assert.Equal("It is being made no longer: it has come home, or was refused.", Assert.IsType<AlertChange.Settle>(Assert.Single(horse.Assess())).Why);
    }

    [Fact]
    public void Decide_saddle_of_which_nothing_can_be_said_any_more_settles_nothing()
    {
        var horse = Horse(280);
        horse.Assess();
        horse.Facts = horse.Facts with { Commissions = [Order(280) with { Planned = Larkfield.Pairing("k", 280, 8) with { SaddleLabel = "New saddle" } }] };
        Assert.Null(Assert.Single(horse.Facts.Assess().Commissions).ProbabilityFits);
        Assert.Empty(horse.Assess());
        Assert.Single(horse.Open);
    }

    [Fact]
    public void Decide_delivery_put_off_is_news()
    {
        var horse = Horse(280);
        horse.Assess();
        horse.Facts = horse.Facts with { Commissions = [Order(280) with { DeliveryOn = Delivery.AddDays(14) }] };
        Assert.Equal("Due on 3 September 2026 instead of 20 August 2026.", Assert.IsType<AlertChange.Report>(Assert.Single(horse.Assess())).Note);
    }

    [Fact]
    public void Decide_two_saddles_are_two_alerts()
    {
        var horse = Horse(280);
        horse.Facts = horse.Facts with { Commissions = [.. horse.Facts.Commissions, Order(281) with { Id = "l" }] };
        Assert.Equal(["k", "l"], horse.Assess().OfType<AlertChange.Raise>().Select(raise => raise.Problem.Key.CommissionId));
    }

    private static KeptAlerts Horse(double treeMm) => new(Larkfield.Settled with { Commissions = [Order(treeMm)] }, Day);

    private static CommissionFact Order(double treeMm) => new(
        "k", Delivery, [new(CommissionStage.Ordered, Day.AddDays(-60))], Larkfield.Pairing("k", treeMm) with { SaddleLabel = "New saddle" }, []);
}
