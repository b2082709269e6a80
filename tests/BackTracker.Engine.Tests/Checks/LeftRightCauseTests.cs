using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Checks;

public class LeftRightCauseTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    /// <summary>Measured every two weeks and last today: even but for the noise, and from a session on uneven by so much.</summary>
    private static HorseFacts Uneven(double percent, int sessions = 2) => Larkfield.Settled with
    {
        Sessions = [.. Enumerable.Range(0, 12).Select(i => Session(i, (i % 2 == 0 ? .3 : -.3) + (i >= 12 - sessions ? percent : 0)))],
    };

    private static SessionFact Session(int i, double percent)
    {
        var session = Larkfield.Session($"s{i:00}", Day.AddDays(-14 * (11 - i)), 300);
        return session with { Readings = [.. session.Readings, new Reading(new Metric(Quantity.Asymmetry, Station.Of(13), 150), percent)] };
    }

    private static Reason? Change(HorseFacts facts, DateOnly? on = null) =>
        facts.Assess(on).Wanted.SelectMany(want => want.Reasons).SingleOrDefault(reason => reason.Cause == Cause.LeftRightChange);

    [Theory]
    [InlineData(0, false)]
    [InlineData(2, false)]
    [InlineData(15, true)]
    [InlineData(-15, true)]
    public void Assess_difference_that_changed_by_more_than_noise_is_looked_at_within_two_weeks(double percent, bool wanted)
    {
        var facts = Uneven(percent);
        Assert.Equal(wanted, Change(facts) is not null);
        if (!wanted)
            return;
        var (reason, shown) = (Change(facts)!, Change(facts)!.On);
        var fit = facts.Wanted(CheckKind.Fit)!;
        Assert.Equal((shown.AddDays(14), Urgency.Soon), (fit.Days.DueOn, fit.Days.Urgency));
        Assert.Equal(("asymmetry150", "T13", "%"), (reason.Measure, reason.Station, reason.Unit));
        Assert.Equal(percent > 0, reason.Value > 0);
        Assert.Matches(@"^Left/right difference at T13 changed by \d+(\.\d)? % from 1 March 2026 to \d+ \w+ 2026 \(least real change \d(\.\d)? %\): check the fit\.$", reason.Text);
        Assert.Contains(facts.Sessions, session => session.Id == reason.SourceId && session.On == shown);
    }

    [Fact]
    public void Assess_change_is_no_less_than_the_least_real_change_and_beyond_its_interval()
    {
        var facts = Uneven(15);
        var moved = BackMovementOf(facts);
        Assert.True(moved.IsReal && Math.Abs(moved.Change) >= moved.LeastRealChange && Math.Abs(moved.Change) >= moved.PlusMinus);
        // One session alone may be a slip of the pencil.
        Assert.Null(Change(Uneven(15, sessions: 1)));
    }

    private static MovedMetric BackMovementOf(HorseFacts facts)
    {
        var reason = Change(facts)!;
        var trends = new HorseTrends(facts.AsOf(reason.On), BackTracker.Engine.Trends.TrendModel.Shipped);
        return Assert.Single(BackMovement.Moved(trends, new Metric(Quantity.Asymmetry, Station.Of(13), 150), new DateOnly(2026, 3, 1), reason.On));
    }

    // Else every session that shows it again would put the check off.
    [Fact]
    public void Assess_later_sessions_that_show_it_again_leave_the_day_alone()
    {
        var facts = Uneven(15);
        var due = facts.Wanted(CheckKind.Fit)!.Days.DueOn;
        facts = facts.Apply(facts.Assess());
        var again = facts.With(Session(12, 15.3)).With(Session(13, 14.7));
        Assert.Equal(due, again.Wanted(CheckKind.Fit, Day.AddDays(28))!.Days.DueOn);
        Assert.DoesNotContain(again.Assess(Day.AddDays(28)).Decisions, decision => decision is CheckDecision.Revise revise && revise.Days.DueOn != due);
    }

    [Fact]
    public void Assess_fit_check_answers_it_until_something_else_changes()
    {
        var facts = Uneven(15).With(Larkfield.FitDone(Day));
        Assert.Null(Change(facts));
        Assert.Null(Change(facts.With(Session(12, 15)), Day.AddDays(14)));
    }

    [Fact]
    public void Assess_change_that_went_back_drops_the_check()
    {
        var facts = Uneven(15);
        facts = facts.Apply(facts.Assess());
        Assert.Contains(facts.Checks, check => check.Kind == CheckKind.Fit && check.Reasons[0].Cause == Cause.LeftRightChange);
        Assert.Empty(facts.Assess().Decisions);

        var back = facts.With(Session(12, 0) with { On = Day.AddDays(3) }).With(Session(13, 0) with { On = Day.AddDays(6) }).With(Session(14, 0) with { On = Day.AddDays(6) }).Assess(Day.AddDays(6));
        Assert.Contains("The left/right difference has not changed by more than noise since the last fit check.", back.Decisions.OfType<CheckDecision.Drop>().Select(drop => drop.Note));
    }
}
