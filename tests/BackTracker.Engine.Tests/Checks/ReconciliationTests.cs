using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Checks;

public class ReconciliationTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    private static HorseFacts Measured(DateOnly on) => Larkfield.Blank.With(Larkfield.Session("s", on, 300));

    private static HorseFacts WithRub(HorseFacts facts, DateOnly on) => facts.With(Larkfield.Seen(ObservationKind.Rub, on));

    [Fact]
    public void Assess_settled_horse_decides_nothing() => Assert.Empty(Larkfield.Settled.Assess().Decisions);

    [Fact]
    public void Assess_same_facts_on_later_days_only_grow_more_urgent()
    {
        var facts = Measured(Day.AddDays(-21));
        for (var on = Day; on < Day.AddDays(60); on = on.AddDays(1))
        {
            var assessment = facts.Assess(on);
            Assert.All(assessment.Decisions.OfType<CheckDecision.Revise>(), revise => Assert.Equal("More urgent.", revise.Note));
            facts = facts.Apply(assessment);
        }
        Assert.Equal(Day.AddDays(7), Assert.Single(facts.Checks).Days.DueOn);
    }

    [Fact]
    public void Assess_measurement_closes_the_remeasure_and_the_next_opens_at_its_notice()
    {
        var facts = Measured(Day.AddDays(-28));
        facts = facts.Apply(facts.Assess()).With(Larkfield.Session("new", Day.AddDays(2), 300));
        var complete = Assert.IsType<CheckDecision.Complete>(Assert.Single(facts.Assess(Day.AddDays(2)).Decisions));
        Assert.Equal((Day.AddDays(2), "Measured on 3 June 2026."), (complete.On, complete.Note));
        var later = facts.Apply(facts.Assess(Day.AddDays(2))).Assess(Day.AddDays(2 + 21));
        Assert.Equal(Day.AddDays(2 + 28), Assert.IsType<CheckDecision.Open>(Assert.Single(later.Decisions)).Check.Days.DueOn);
    }

    [Fact]
    public void Assess_measurement_recorded_late_closes_the_remeasure_too()
    {
        var facts = Measured(Day.AddDays(-28));
        facts = facts.Apply(facts.Assess()).With(Larkfield.Session("late", Day.AddDays(-20), 300));
        Assert.Equal(Day.AddDays(-20), Assert.IsType<CheckDecision.Complete>(Assert.Single(facts.Assess().Decisions)).On);
    }

    [Fact]
    public void Assess_correction_of_the_last_session_does_not_close_the_remeasure()
    {
        var facts = Measured(Day.AddDays(-28));
        facts = facts.Apply(facts.Assess()) with { Sessions = [Larkfield.Session("corrected", Day.AddDays(-28), 301)] };
        Assert.Empty(facts.Assess().Decisions.OfType<CheckDecision.Complete>());
    }

    [Theory]
    [InlineData(6, false)]
    [InlineData(7, true)]
    public void Assess_day_moves_only_by_a_week_or_more(int days, bool moves)
    {
        var check = Opened(Measured(Day.AddDays(-21)));
        var facts = Measured(Day.AddDays(-21)).With(check with { Days = check.Days with { DueOn = check.Days.DueOn.AddDays(days) } });
        var revised = facts.Assess().Decisions.OfType<CheckDecision.Revise>().Any(revise => revise.Days == check.Days);
        Assert.Equal(moves, revised);
    }

    // Due in 40 days with a lead of 35: to be booked within 5 days.
    [Theory]
    [InlineData(70, 40 - 70)]
    [InlineData(42, 40 - 42)]
    [InlineData(41, 5)]
    [InlineData(29, 5)]
    [InlineData(28, 40 - 28)]
    public void Assess_lead_that_changes_under_an_open_check_moves_its_last_day_to_book_by_a_week_or_more(int leadDays, int bookBy)
    {
        var facts = RoutineFit();
        var check = facts.Checks[0];
        facts = facts.With(pairing => pairing with { Fitters = [new FitterFact("f", leadDays, [])] });

        var revise = facts.Assess().Decisions.OfType<CheckDecision.Revise>().SingleOrDefault();

        Assert.Equal((check.Days.DueOn, Day.AddDays(bookBy)), ((revise?.Days ?? check.Days).DueOn, (revise?.Days ?? check.Days).BookBy));
        if (revise is not null)
            Assert.Equal($"Book by {Words.Day(Day.AddDays(bookBy))} instead of 6 June 2026.", revise.Note);
        Assert.Empty(facts.Apply(facts.Assess()).Assess().Decisions);
    }

    // Tuesdays only: the check is due on a Saturday, and its last day to book counts from the Tuesday before whichever day it stands on.
    [Fact]
    public void Assess_due_day_that_stands_keeps_its_last_day_to_book()
    {
        var facts = RoutineFit().With(pairing => pairing with { Fitters = [new FitterFact("f", 20, [DayOfWeek.Tuesday])] });
        facts = facts.Apply(facts.Assess());
        var days = facts.Checks[0].Days;
        for (var shift = -6; shift <= 6; shift++)
            Assert.DoesNotContain(
                facts.With(pairing => pairing with { From = pairing.From.AddDays(shift) }).Assess().Decisions,
                decision => decision is CheckDecision.Revise revise && (revise.Days with { Urgency = days.Urgency }) != days);
    }

    [Theory]
    [InlineData(6, false)]
    [InlineData(7, true)]
    public void Assess_window_that_closes_sooner_closes_sooner_under_an_open_check(int sooner, bool moves)
    {
        var facts = RoutineFit();
        var check = facts.Checks[0];
        facts = facts with { Checks = [check with { Days = check.Days with { ClosesOn = check.Days.ClosesOn.AddDays(sooner) } }] };

        var decisions = facts.Assess().Decisions;

        Assert.Equal(moves, decisions.OfType<CheckDecision.Revise>().Any(revise => revise.Days == check.Days));
        Assert.Equal(moves ? 1 : 0, decisions.Count);
    }

    [Fact]
    public void Assess_new_cause_joins_an_open_check_and_makes_it_urgent()
    {
        var facts = RoutineFit();
        var check = facts.Checks[0];
        var revise = Assert.Single(WithRub(facts, Day).Assess().Decisions.OfType<CheckDecision.Revise>());
        Assert.Equal((check.Id, Day, Urgency.Now), (revise.CheckId, revise.Days.DueOn, revise.Days.Urgency));
        Assert.Contains(revise.Reasons, reason => reason.Cause == Cause.SaddleSign);
        Assert.Contains(revise.Reasons, reason => reason.Cause == Cause.FitCheckAge);
    }

    [Fact]
    public void Assess_booked_check_is_never_moved_but_told_what_is_new()
    {
        var facts = RoutineFit();
        var booked = facts.Checks[0] with { State = CheckState.Booked, BookedOn = Day.AddDays(20) };
        var revise = Assert.Single(WithRub(facts with { Checks = [booked] }, Day).Assess().Decisions.OfType<CheckDecision.Revise>());
        Assert.Equal(booked.Days with { Urgency = Urgency.Now }, revise.Days);
        Assert.Equal([Cause.FitCheckAge, Cause.SaddleSign], revise.Reasons.Select(reason => reason.Cause));
    }

    [Fact]
    public void Assess_booked_check_no_longer_wanted_is_left_to_people()
    {
        var facts = RoutineFit();
        var resting = facts.With(new PhaseFact("r", Day, Phase.Rest));
        Assert.Empty((resting with { Checks = [facts.Checks[0] with { State = CheckState.Booked, BookedOn = Day.AddDays(5) }] }).Assess().Decisions);
        Assert.Equal(
            "The time since the last fit check does not call for one now.",
            Assert.IsType<CheckDecision.Drop>(Assert.Single(resting.Assess().Decisions)).Note);
    }

    [Fact]
    public void Assess_postponed_check_waits_until_a_new_cause_makes_it_urgent()
    {
        var facts = RoutineFit();
        var postponed = facts with { Checks = [facts.Checks[0] with { PostponedUntil = Day.AddDays(60), Days = facts.Checks[0].Days with { DueOn = Day.AddDays(60) } }] };
        Assert.Empty(postponed.Assess().Decisions);
        Assert.Equal(Day, Assert.Single(WithRub(postponed, Day).Assess().Decisions.OfType<CheckDecision.Revise>()).Days.DueOn);
    }

    [Fact]
    public void Assess_postponed_check_whose_new_day_has_passed_keeps_that_day_and_is_more_urgent()
    {
        var facts = RoutineFit();
        var until = facts.Checks[0].Days.DueOn.AddDays(5);
        var lapsed = facts with { Checks = [facts.Checks[0] with { PostponedUntil = until, Days = facts.Checks[0].Days with { DueOn = until, Urgency = Urgency.Routine } }] };

        var revise = Assert.Single(lapsed.Assess(until.AddDays(1)).Decisions.OfType<CheckDecision.Revise>(), decision => decision.CheckId == facts.Checks[0].Id);

        Assert.Equal((until, Urgency.Soon), (revise.Days.DueOn, revise.Days.Urgency));
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(27, 0)]
    [InlineData(28, 1)]
    public void Assess_check_a_person_dropped_is_not_opened_again_for_four_weeks(int daysLater, int decisions)
    {
        var facts = Measured(Day.AddDays(-28)).With(Opened(Measured(Day.AddDays(-28))) with { State = CheckState.Dropped, DroppedByPersonOn = Day });
        var urgent = facts with { Checks = [facts.Checks[0] with { Days = facts.Checks[0].Days with { Urgency = Urgency.Now } }] };
        Assert.Equal(decisions, urgent.Assess(Day.AddDays(daysLater)).Decisions.Count);
    }

    [Fact]
    public void Assess_dropped_check_is_opened_again_for_a_new_cause()
    {
        var facts = WithRub(RoutineFit(), Day);
        var dropped = facts with { Checks = [facts.Checks[0] with { State = CheckState.Dropped, DroppedByPersonOn = Day }] };
        Assert.Contains(dropped.Assess().Decisions, decision => decision is CheckDecision.Open { Check.Kind: CheckKind.Fit });
    }

    [Theory]
    [InlineData(HorseStatus.Sold, "Bramble is sold: no checks.")]
    [InlineData(HorseStatus.Retired, "Bramble is retired: no checks.")]
    [InlineData(HorseStatus.Died, "Bramble is dead: no checks.")]
    public void Assess_horse_that_is_not_looked_after_has_no_checks(HorseStatus status, string note)
    {
        var facts = RoutineFit() with { Status = status };
        var assessment = facts.Assess();
        Assert.Empty(assessment.Wanted);
        Assert.Empty(assessment.Pairings);
        Assert.Equal(note, Assert.IsType<CheckDecision.Drop>(Assert.Single(assessment.Decisions)).Note);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(1, 1)]
    public void Assess_pairing_that_ended_loses_its_checks_the_day_after(int daysAfter, int dropped)
    {
        var facts = RoutineFit();
        facts = facts with { Pairings = [facts.Pairings[0] with { To = Day }] };
        Assert.Equal(dropped, facts.Assess(Day.AddDays(daysAfter)).Decisions.OfType<CheckDecision.Drop>().Count());
    }

    [Fact]
    public void Assess_fit_check_already_open_is_dropped_when_a_refit_covers_it()
    {
        var facts = RoutineFit();
        var narrow = facts with
        {
            Pairings = [facts.Pairings[0] with { TreeShapes = Larkfield.Pairing("a", 270).TreeShapes }],
            Sessions = Larkfield.Settled.Sessions,
        };
        var decisions = narrow.Assess().Decisions;
        Assert.Equal("Covered by the re-fit.", Assert.Single(decisions.OfType<CheckDecision.Drop>()).Note);
        Assert.Contains(Assert.Single(decisions.OfType<CheckDecision.Open>()).Check.Reasons, reason => reason.Cause == Cause.FitCheckAge);
    }

    [Fact]
    public void Assess_remeasure_is_left_to_a_visit_no_longer_once_it_is_overdue()
    {
        var facts = WithRub(Measured(Day.AddDays(-21)) with { Pairings = [Larkfield.Pairing("a", 300, vertebra: 8)] }, Day);
        facts = facts.Apply(facts.Assess());
        Assert.DoesNotContain(facts.Checks, check => check.Kind == CheckKind.Remeasure);
        var later = Assert.IsType<CheckDecision.Open>(Assert.Single(facts.Assess(Day.AddDays(1)).Decisions, decision => decision is CheckDecision.Open));
        Assert.Equal(CheckKind.Remeasure, later.Check.Kind);
    }

    [Fact]
    public void Assess_remeasure_not_yet_opened_is_left_to_the_fitter_who_comes_sooner()
    {
        var facts = WithRub(Measured(Day.AddDays(-21)) with { Pairings = [Larkfield.Pairing("a", 300, vertebra: 8)] }, Day);
        var open = Assert.IsType<CheckDecision.Open>(Assert.Single(facts.Assess().Decisions));
        Assert.Equal(CheckKind.Fit, open.Check.Kind);
        Assert.Contains(open.Check.Reasons, reason => reason.Cause == Cause.MeasurementAge);

        var asked = facts.With(Opened(Measured(Day.AddDays(-21))));
        Assert.Empty(asked.Assess().Decisions.OfType<CheckDecision.Drop>());
    }

    [Fact]
    public void Assess_two_saddles_have_a_check_each_and_one_remeasure()
    {
        var facts = WithRub(Measured(Day.AddDays(-40)) with { Pairings = [Larkfield.Pairing("b", 300), Larkfield.Pairing("a", 300)] }, Day);
        Assert.Equal(
            [(CheckKind.Remeasure, null), (CheckKind.Fit, "a"), (CheckKind.Fit, "b")],
            facts.Assess().Decisions.OfType<CheckDecision.Open>().Select(open => (open.Check.Kind, open.Check.PairingId)));
    }

    private static CheckFact Opened(HorseFacts facts) => Larkfield.Opened("c0", facts.Wanted(CheckKind.Remeasure)!, Day);

    /// <summary>A horse measured yesterday whose saddle, never compared, has an open fit check that falls due in 40 days by age alone.</summary>
    private static HorseFacts RoutineFit()
    {
        var pairing = Larkfield.Pairing("a", 300) with { TreeShapes = [], From = Day.AddDays(40 - 182) };
        var facts = Larkfield.Blank.With(new PhaseFact("p", new DateOnly(2025, 1, 1), Phase.Steady)).With(Larkfield.Session("s", Day.AddDays(-1), 300)) with { Pairings = [pairing] };
        var applied = facts.Apply(facts.Assess());
        Assert.Equal((CheckKind.Fit, Urgency.Soon), (Assert.Single(applied.Checks).Kind, applied.Checks[0].Days.Urgency));
        return applied;
    }
}
