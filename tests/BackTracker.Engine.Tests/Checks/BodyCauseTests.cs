using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Checks;

public class BodyCauseTests
{
    private static readonly DateOnly Day = Larkfield.Today;
    private static readonly DateOnly Shown = Day.AddDays(-3);

    private static SessionFact Body(string id, DateOnly on, Quantity quantity, double value) => new(id, on, ExerciseState.After, [new Reading(new Metric(quantity), value)]);

    private static HorseFacts Changed(Quantity quantity, double before, double after) => Larkfield.Settled
        .With(Body("before", new DateOnly(2026, 3, 1), quantity, before))
        .With(Body("after", Shown, quantity, after));

    private static Reason? Change(HorseFacts facts, DateOnly? on = null) =>
        facts.Assess(on).Wanted.SelectMany(want => want.Reasons).SingleOrDefault(reason => reason.Cause == Cause.BodyChange);

    // Trade triggers, low grade: heart girth 5 cm, weight 40 kg; the share of the weight and the condition score are common practice, no source.
    [Theory]
    [InlineData(Quantity.Weight, 560, 599.9, false)]
    [InlineData(Quantity.Weight, 560, 600, true)]
    [InlineData(Quantity.Weight, 560, 520, true)]
    [InlineData(Quantity.Weight, 250, 269.9, false)]
    [InlineData(Quantity.Weight, 250, 270, true)]
    [InlineData(Quantity.Girth, 1900, 1949, false)]
    [InlineData(Quantity.Girth, 1900, 1950, true)]
    [InlineData(Quantity.Girth, 1900, 1850, true)]
    [InlineData(Quantity.ConditionScore1to9, 5, 5.5, false)]
    [InlineData(Quantity.ConditionScore1to9, 5, 6, true)]
    [InlineData(Quantity.ConditionScore1to9, 5, 4, true)]
    public void Assess_change_since_the_pairing_began_is_measured_after_two_weeks(Quantity quantity, double before, double after, bool wanted)
    {
        var facts = Changed(quantity, before, after);
        Assert.Equal(wanted, Change(facts) is not null);
        if (wanted)
            Assert.Equal((Shown.AddDays(14), Shown.AddDays(7), Urgency.Routine), facts.Wanted(CheckKind.Remeasure) is { } want ? (want.Days.DueOn, want.NoticeOn, want.Days.Urgency) : default);
    }

    [Fact]
    public void Assess_change_says_what_changed_by_how_much_and_where_it_was_read()
    {
        var reason = Change(Changed(Quantity.Weight, 500, 545))!;
        Assert.Equal("Weight went from 500 kg on 1 March 2026 to 545 kg on 29 May 2026 (limit 40 kg or 8 %): measure the back again.", reason.Text);
        Assert.Equal(("weight", 45.0, "kg", "after", Shown), (reason.Measure, reason.Value, reason.Unit, reason.SourceId, reason.On));
        Assert.Contains("Girth went from 1900 mm on 1 March 2026 to 1950 mm on 29 May 2026 (limit 50 mm)", Change(Changed(Quantity.Girth, 1900, 1950))!.Text, StringComparison.Ordinal);
        Assert.Contains("Condition score went from 5 on 1 March 2026 to 6.5 on 29 May 2026 (limit 1)", Change(Changed(Quantity.ConditionScore1to9, 5, 6.5))!.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0, true)]
    [InlineData(1, false)]
    public void Assess_change_is_answered_by_a_back_measured_on_a_later_day(int daysAfter, bool wanted) =>
        Assert.Equal(wanted, Change(Changed(Quantity.Weight, 500, 545).With(Larkfield.Session("again", Shown.AddDays(daysAfter), 300))) is not null);

    [Fact]
    public void Assess_change_is_answered_by_a_back_measured_in_the_same_session()
    {
        var both = Larkfield.Session("after", Shown, 300);
        var facts = Larkfield.Settled.With(Body("before", new DateOnly(2026, 3, 1), Quantity.Weight, 500));
        Assert.Null(Change(facts.With(both with { Readings = [.. both.Readings, new Reading(new Metric(Quantity.Weight), 545)] })));
    }

    [Fact]
    public void Assess_change_that_was_answered_is_not_asked_again_by_the_next_weighing()
    {
        var facts = Changed(Quantity.Weight, 500, 545).With(Larkfield.Session("again", Shown.AddDays(1), 300)).With(Body("later", Shown.AddDays(2), Quantity.Weight, 550));
        Assert.Null(Change(facts));
        Assert.NotNull(Change(facts.With(Body("back", Shown.AddDays(2), Quantity.Weight, 510)).With(Body("up", Shown.AddDays(3), Quantity.Weight, 550))));
    }

    [Fact]
    public void Assess_change_counts_from_the_last_fit_check()
    {
        var facts = Changed(Quantity.Weight, 500, 545);
        Assert.Null(Change(facts.With(Larkfield.FitDone(Shown))));
        Assert.NotNull(Change(facts.With(Larkfield.FitDone(Shown.AddDays(-1)))));
    }

    [Fact]
    public void Assess_nothing_read_by_the_fit_check_counts_from_the_first_reading_after_it()
    {
        var facts = Changed(Quantity.Weight, 500, 545) with { Pairings = [Larkfield.Pairing("a", 302) with { From = new DateOnly(2026, 2, 1) }] };
        Assert.NotNull(Change(facts));
        Assert.Null(Change(facts with { Sessions = [.. facts.Sessions.Where(session => session.Id != "before")] }));
    }

    [Fact]
    public void Assess_change_that_went_back_drops_the_check()
    {
        var facts = Changed(Quantity.Weight, 500, 545).With(new PhaseFact("r", Day.AddDays(-40), Phase.Rest));
        facts = facts.Apply(facts.Assess(Day.AddDays(6)));
        var open = Assert.Single(facts.Checks);
        Assert.Equal((CheckKind.Remeasure, Cause.BodyChange), (open.Kind, open.Reasons[0].Cause));
        Assert.Empty(facts.Assess(Day.AddDays(6)).Decisions);

        var back = facts.With(Body("back", Day.AddDays(6), Quantity.Weight, 510)).Assess(Day.AddDays(6));
        Assert.Equal("Weight, girth and condition are back to what they were at the last fit check.", Assert.IsType<CheckDecision.Drop>(Assert.Single(back.Decisions)).Note);
    }

    [Fact]
    public void Assess_two_saddles_ask_once()
    {
        var facts = Changed(Quantity.Weight, 500, 545) with { Pairings = [Larkfield.Pairing("a", 302), Larkfield.Pairing("b", 302)] };
        Assert.NotNull(Change(facts));
    }
}
