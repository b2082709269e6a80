using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Tests.Assessments;

public class AsOfTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    [Theory]
    [InlineData(-1, 1)]
    [InlineData(0, 1)]
    [InlineData(1, 0)]
    public void AsOf_session_is_known_from_its_day_on(int daysAfter, int known) =>
        Assert.Equal(known, Larkfield.Blank.With(Larkfield.Session("s", Day.AddDays(daysAfter), 300)).AsOf(Day).Sessions.Count);

    [Theory]
    [InlineData(Occurrence.Happened, 0)]
    [InlineData(Occurrence.Planned, 1)]
    public void AsOf_later_event_or_phase_stays_only_where_it_was_planned(Occurrence occurrence, int known)
    {
        var facts = Larkfield.Blank
            .With(new EventFact("e", Day.AddDays(9), EventKind.StartOfWork, occurrence))
            .With(new PhaseFact("p", Day.AddDays(9), Phase.Building, occurrence))
            .AsOf(Day);
        Assert.Equal(known, facts.Events.Count);
        Assert.Equal(known, facts.Phases.Count);
    }

    [Fact]
    public void AsOf_outcome_given_later_leaves_the_observation_open()
    {
        var closed = Larkfield.Seen(ObservationKind.Heat, Day.AddDays(-3)) with { Outcome = new OutcomeFact(Day.AddDays(1), OutcomeRole.Vet) };
        var facts = Larkfield.Blank.With(closed);
        Assert.Null(facts.AsOf(Day).Observations[0].Outcome);
        Assert.NotNull(facts.AsOf(Day.AddDays(1)).Observations[0].Outcome);
        Assert.Empty(facts.AsOf(Day.AddDays(-4)).Observations);
    }

    [Fact]
    public void AsOf_check_done_later_is_open()
    {
        var check = Larkfield.Blank.With(Larkfield.FitDone(Day.AddDays(2))).AsOf(Day).Checks.Single();
        Assert.Equal((CheckState.Open, null), (check.State, check.DoneOn));
    }

    [Fact]
    public void AsOf_check_dropped_by_a_person_later_is_open_and_one_opened_later_is_unknown()
    {
        var dropped = Larkfield.FitDone(Day) with { State = CheckState.Dropped, DoneOn = null, DroppedByPersonOn = Day.AddDays(1) };
        var later = dropped with { Id = "later", OpenedOn = Day.AddDays(1) };
        var check = Assert.Single(Larkfield.Blank.With(dropped).With(later).AsOf(Day).Checks);
        Assert.Equal(CheckState.Open, check.State);
    }

    [Fact]
    public void AsOf_pairing_forgets_later_trees_alterations_and_its_end()
    {
        var pairing = Larkfield.Pairing("a", 300) with
        {
            To = Day.AddDays(5),
            Adjustments = [new AdjustmentFact("j", Day.AddDays(1), AdjustmentKind.Tree, [])],
        };
        var known = (Larkfield.Blank with { Pairings = [pairing] }).AsOf(Day).Pairings.Single();
        Assert.Null(known.To);
        Assert.Empty(known.Adjustments);
        Assert.Single(known.TreeShapes);
        Assert.Empty((Larkfield.Blank with { Pairings = [pairing] }).AsOf(pairing.From.AddDays(-1)).Pairings);
    }

    [Fact]
    public void Assess_does_not_look_at_what_happens_after_the_day()
    {
        var facts = Larkfield.Settled;
        var later = facts.With(Larkfield.Session("next", Day.AddDays(1), 340)).With(Larkfield.Seen(ObservationKind.Heat, Day.AddDays(1)));
        Assert.Equal(facts.Assess().Trends, later.Assess().Trends);
        Assert.False(later.Assess().VetFirst);
        Assert.True(later.Assess(Day.AddDays(1)).VetFirst);
    }
}
