using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Checks;

public class MeasurementCauseTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    // Common practice, no source.
    [Theory]
    [InlineData(null, 28)]
    [InlineData(Phase.Conditioning, 28)]
    [InlineData(Phase.Building, 28)]
    [InlineData(Phase.Backing, 28)]
    [InlineData(Phase.Rehabilitation, 21)]
    [InlineData(Phase.Steady, 42)]
    [InlineData(Phase.Competing, 42)]
    [InlineData(Phase.LettingDown, 42)]
    [InlineData(Phase.Rest, 56)]
    public void Assess_grown_horse_is_measured_by_its_phase(Phase? phase, int days)
    {
        var measured = Larkfield.Blank.With(Larkfield.Session("s", Day, 300));
        var facts = phase is { } known ? measured.With(new PhaseFact("p", Day.AddDays(-100), known)) : measured;
        var want = facts.Wanted(CheckKind.Remeasure)!;
        Assert.Equal((Day.AddDays(days), Day.AddDays(days - 7)), (want.Days.DueOn, want.NoticeOn));
    }

    [Theory]
    [InlineData("2020-06-02", Phase.Rest, 28)]
    [InlineData("2020-06-01", Phase.Rest, 56)]
    [InlineData("2020-02-29", Phase.Rest, 56)]
    [InlineData("2020-06-02", Phase.Rehabilitation, 21)]
    public void Assess_horse_under_six_is_growing(string born, Phase phase, int days)
    {
        var measured = Larkfield.Blank.With(Larkfield.Session("s", Day, 300)).With(new PhaseFact("p", Day, phase));
        var facts = measured with { BornOn = DateOnly.Parse(born, System.Globalization.CultureInfo.InvariantCulture) };
        Assert.Equal(Day.AddDays(days), facts.Wanted(CheckKind.Remeasure)!.Days.DueOn);
    }

    [Theory]
    [InlineData("2026-02-27", 28)]
    [InlineData("2026-02-28", 56)]
    public void Assess_leapling_is_grown_on_the_last_of_february(string on, int days)
    {
        var day = DateOnly.Parse(on, System.Globalization.CultureInfo.InvariantCulture);
        var facts = Larkfield.Blank.With(Larkfield.Session("s", day, 300)).With(new PhaseFact("p", day, Phase.Rest)) with { BornOn = new DateOnly(2020, 2, 29) };
        Assert.Equal(day.AddDays(days), facts.Wanted(CheckKind.Remeasure, day)!.Days.DueOn);
    }

    [Fact]
    public void Assess_leap_day_session_falls_due_by_days_and_not_by_months()
    {
        var facts = Larkfield.Blank.With(Larkfield.Session("s", new DateOnly(2028, 2, 1), 300));
        Assert.Equal(new DateOnly(2028, 2, 29), facts.Wanted(CheckKind.Remeasure, new DateOnly(2028, 2, 2))!.Days.DueOn);
    }

    [Fact]
    public void Assess_horse_never_measured_is_to_be_measured_today()
    {
        var open = Assert.IsType<CheckDecision.Open>(Assert.Single(Larkfield.Blank.Assess().Decisions));
        Assert.Equal((CheckKind.Remeasure, Day, "The back was never measured before work."), (open.Check.Kind, open.Check.Days.DueOn, open.Check.Reasons[0].Text));
        Assert.Null(open.Check.PairingId);
    }

    [Theory]
    [InlineData(ExerciseState.After, true)]
    [InlineData(ExerciseState.Unknown, false)]
    [InlineData(ExerciseState.Before, false)]
    public void Assess_session_after_work_does_not_count(ExerciseState exercise, bool asked) =>
        Assert.Equal(asked, Larkfield.Blank.With(Larkfield.Session("s", Day, 300, exercise: exercise)).Assess().Decisions.Count > 0);

    [Theory]
    [InlineData(-8, 0)]
    [InlineData(-7, 1)]
    public void Assess_remeasure_opens_a_week_ahead(int beforeDue, int opened)
    {
        var facts = Larkfield.Blank.With(Larkfield.Session("s", Day, 300));
        Assert.Equal(opened, facts.Assess(Day.AddDays(28 + beforeDue)).Decisions.Count);
    }

    [Theory]
    [InlineData(34, true)]
    [InlineData(35, false)]
    public void Assess_dated_event_is_followed_up_by_a_session_five_weeks_or_more_after_it(int sessionAfter, bool wanted)
    {
        var on = Day.AddDays(-40);
        var facts = Larkfield.Blank.With(new EventFact("e", on, EventKind.NewSaddle)).With(Larkfield.Session("s", on.AddDays(sessionAfter), 300));
        var reasons = facts.Wanted(CheckKind.Remeasure)!;
        Assert.Equal(wanted, reasons.Reasons[0].Cause == Cause.DatedEvent);
        if (wanted)
            Assert.Equal((on.AddDays(42), "New saddle on 22 April 2026: measure again 6 weeks after it."), (reasons.Days.DueOn, reasons.Reasons[0].Text));
    }

    [Theory]
    [InlineData(-15, true)]
    [InlineData(-14, false)]
    public void Assess_planned_start_of_work_is_measured_for_within_two_weeks_before_it(int sessionBefore, bool wanted)
    {
        var facts = Larkfield.Blank
            .With(new PhaseFact("p", Day.AddDays(-90), Phase.Rest))
            .With(new EventFact("e", Day.AddDays(5), EventKind.StartOfWork, Occurrence.Planned))
            .With(Larkfield.Session("s", Day.AddDays(5 + sessionBefore), 300));
        var want = facts.Wanted(CheckKind.Remeasure)!;
        Assert.Equal(wanted, want.Reasons.Any(reason => reason.Cause == Cause.BackToWork));
        if (wanted)
            Assert.Equal(Day.AddDays(5), want.Days.DueOn);
    }

    [Fact]
    public void Assess_planned_phase_out_of_rest_is_measured_for() => Assert.Contains(
        Larkfield.Blank.With(Larkfield.Session("s", Day.AddDays(-20), 300))
            .With(new PhaseFact("p", Day.AddDays(-90), Phase.Rest))
            .With(new PhaseFact("q", Day.AddDays(3), Phase.Steady, Occurrence.Planned))
            .Wanted(CheckKind.Remeasure)!.Reasons,
        reason => reason.Cause == Cause.BackToWork && reason.SourceId == "q");
}
