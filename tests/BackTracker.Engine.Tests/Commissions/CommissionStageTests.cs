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
}
