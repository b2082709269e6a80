using BackTracker.Engine.Assessments;
using BackTracker.Engine.Commissions;

namespace BackTracker.Engine.Tests.Commissions;

public class TrialTests
{
    [Fact]
    public void Verdict_everything_as_it_should_be_passes() => Assert.Equal(TrialVerdict.Pass, Of(All(ItemVerdict.Pass)).Verdict);

    [Fact]
    public void Verdict_nothing_looked_at_is_open_and_names_what_is_left()
    {
        var trial = Of([]);
        Assert.Equal(TrialVerdict.Open, trial.Verdict);
        Assert.Equal(TrialItems.Usual, trial.Left);
    }

    [Fact]
    public void Verdict_open_item_never_passes() => Assert.Equal(TrialVerdict.Open, Of([.. All(ItemVerdict.Pass).Skip(1)]).Verdict);

    [Fact]
    public void Verdict_one_alteration_is_to_be_altered_and_on_the_work_list()
    {
        var trial = Of([.. All(ItemVerdict.Pass), new("contact", ItemVerdict.Alter, 4, Side.Left, Zone.Rear, "hollow under the hand")]);
        Assert.Equal(TrialVerdict.Alter, trial.Verdict);
        var work = Assert.Single(trial.WorkList);
        Assert.Equal((4, Side.Left, Zone.Rear), (work.Mm, work.Side, work.Zone));
    }

    [Fact]
    public void Verdict_soreness_the_next_day_fails_what_had_passed()
    {
        var trial = Of([.. All(ItemVerdict.Pass), new("felt-next-day", ItemVerdict.Fail, null, null, null, "flinches left behind")]);
        Assert.Equal(TrialVerdict.Fail, trial.Verdict);
        Assert.StartsWith("Failed: The back felt the next day is as before. Stop here", Assert.Single(trial.Reasons));
    }

    [Fact]
    public void Verdict_sign_seen_on_the_horse_since_fails_what_had_passed()
    {
        var trial = new Trial(TrialItems.Usual, All(ItemVerdict.Pass)) { SorenessAfter = ["soreness, seen 2026-06-01"] };
        Assert.Equal(TrialVerdict.Fail, trial.Verdict);
        Assert.StartsWith("Seen on the horse since the trial began: soreness", Assert.Single(trial.Reasons), StringComparison.Ordinal);
    }

    [Fact]
    public void WorkList_runs_from_front_to_rear_and_left_before_right()
    {
        var trial = Of([
            new("level", ItemVerdict.Alter, 2, null, null, ""), new("contact", ItemVerdict.Alter, 3, Side.Right, Zone.Rear, ""),
            new("contact", ItemVerdict.Alter, 4, Side.Left, Zone.Rear, ""), new("contact", ItemVerdict.Alter, 5, Side.Right, Zone.Front, "")]);
        Assert.Equal([5, 4, 3, 2], trial.WorkList.Select(work => work.Mm!.Value));
    }

    [Fact]
    public void WorkList_item_that_was_altered_and_looked_at_again_is_off_it()
    {
        var trial = Of([.. All(ItemVerdict.Pass), new("contact", ItemVerdict.Alter, 4, Side.Left, Zone.Rear, ""), new("contact", ItemVerdict.Pass, null, Side.Left, Zone.Rear, "")]);
        Assert.Equal((TrialVerdict.Pass, 0), (trial.Verdict, trial.WorkList.Count));
    }

    [Fact]
    public void Hindering_nobody_mounts_before_the_saddler_has_said_that_it_bears_load()
    {
        var trial = Of([.. All(ItemVerdict.Pass).Where(f => TrialItems.Usual.Single(i => i.Code == f.Code).Step < TrialStep.MountedStill)]);
        Assert.Contains("Nobody mounts", Assert.Single(trial.Hindering(TrialStep.MountedStill, Bearing.NotConfirmed, VetFirst.NoSign)), StringComparison.Ordinal);
        Assert.Empty(trial.Hindering(TrialStep.MountedStill, Bearing.Confirmed, VetFirst.NoSign));
    }

    [Fact]
    public void Hindering_steps_come_in_order_and_stop_at_a_fail()
    {
        Assert.Contains("place is still to be looked at", Assert.Single(Of([]).Hindering(TrialStep.Girthed, Bearing.Confirmed, VetFirst.NoSign)), StringComparison.Ordinal);
        var failed = Of([.. All(ItemVerdict.Pass).Where(f => TrialItems.Usual.Single(i => i.Code == f.Code).Step == TrialStep.Standing), new("spine", ItemVerdict.Fail, null, null, null, "")]);
        Assert.Equal("A step before it failed: stop here.", Assert.Single(failed.Hindering(TrialStep.Girthed, Bearing.Confirmed, VetFirst.NoSign)));
    }

    [Fact]
    public void Hindering_vet_first_sign_keeps_every_step_from_being_begun() =>
        Assert.All(Enum.GetValues<TrialStep>(), step => Assert.Contains(Of(All(ItemVerdict.Pass)).Hindering(step, Bearing.Confirmed, VetFirst.SignOpen), hindrance => hindrance.StartsWith("A vet-first sign is open", StringComparison.Ordinal)));

    private static Trial Of(IReadOnlyList<ItemFinding> findings) => new(TrialItems.Usual, findings);

    private static List<ItemFinding> All(ItemVerdict verdict) => [.. TrialItems.Usual.Select(item => new ItemFinding(item.Code, verdict, null, null, null, ""))];
}
