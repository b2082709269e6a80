using BackTracker.Engine.Commissions;

namespace BackTracker.Engine.Tests.Commissions;

public class CommissionStageTests
{
    private static readonly DateOnly Measured = new(2026, 3, 2);

    [Fact]
    public void After_every_stage_before_delivery_may_be_refused_and_none_later() =>
        Assert.All(Enum.GetValues<CommissionStage>(), stage => Assert.Equal(Stages.IsBeforeDelivery(stage), Stages.After(stage).Contains(CommissionStage.Refused)));

    [Fact]
    public void After_every_stage_but_the_last_can_be_reached()
    {
        HashSet<CommissionStage> reached = [CommissionStage.Ordered];
        for (var before = 0; before < reached.Count;)
        {
            before = reached.Count;
            reached.UnionWith([.. reached.SelectMany(Stages.After)]);
        }
        Assert.Equal(Enum.GetValues<CommissionStage>(), reached.Order());
    }

    [Theory]
    [InlineData(CommissionStage.TreeTrial, CommissionStage.Finished)]
    [InlineData(CommissionStage.Altered, CommissionStage.Passed)]
    [InlineData(CommissionStage.Ordered, CommissionStage.TreeCut)]
    [InlineData(CommissionStage.Settled, CommissionStage.BeddingIn)]
    public void After_what_leaves_out_a_step_does_not_follow(CommissionStage stage, CommissionStage next) => Assert.DoesNotContain(next, Stages.After(stage));

    [Fact]
    public void Next_template_is_cut_while_it_is_fresh_and_before_delivery()
    {
        Assert.Equal(Measured.AddDays(56), Stages.Next(CommissionStage.TemplateSent, Measured.AddDays(5), Measured, Measured.AddDays(140))!.Value.DueOn);
        Assert.Equal(Measured.AddDays(30), Stages.Next(CommissionStage.TemplateSent, Measured.AddDays(5), Measured, Measured.AddDays(30))!.Value.DueOn);
        Assert.Null(Stages.Next(CommissionStage.Delivered, Measured, Measured, Measured));
    }

    [Theory]
    [InlineData(55, .95, 0)]
    [InlineData(56, .95, 1)]
    [InlineData(55, .89, 1)]
    [InlineData(56, .89, 2)]
    public void Need_old_measurement_or_doubtful_fit_is_a_reason(int days, double fits, int reasons) =>
        Assert.Equal(reasons, Remeasure.Need(CommissionStage.TemplateSent, Measured, Measured.AddDays(days), Measured.AddDays(140), fits)?.Reasons.Count ?? 0);

    [Fact]
    public void Need_is_due_when_the_measurement_is_old_at_once_where_it_is_already_and_never_after_delivery()
    {
        Assert.Equal(Measured.AddDays(56), Remeasure.Need(CommissionStage.TreeCut, Measured, Measured.AddDays(10), Measured.AddDays(140), .5)!.By);
        Assert.Equal(Measured.AddDays(80), Remeasure.Need(CommissionStage.TreeCut, Measured, Measured.AddDays(80), Measured.AddDays(140), null)!.By);
        Assert.Null(Remeasure.Need(CommissionStage.Delivered, null, Measured, Measured, .1));
    }
}
