using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Checks;

public class FitCauseTests
{
    private static readonly DateOnly Day = Larkfield.Today;
    private static readonly DateOnly From = new(2026, 3, 1);

    /// <summary>A pairing nobody can forecast for: the table of the trade holds.</summary>
    [Fact]
    public void Assess_pairing_that_is_watched_no_longer_is_checked_no_later_than_had_it_been_watched()
    {
        var facts = MeasuredUntil(-71);
        facts = facts with { Pairings = [facts.Pairings[0] with { From = Day.AddDays(-160) }] };
        Assert.Equal(Day.AddDays(-160 + (26 * 7)), facts.Wanted(CheckKind.Fit)!.Days.DueOn);
    }

    private static HorseFacts MeasuredUntil(int lastSession) => Larkfield.Settled with
    {
        Sessions = [.. Enumerable.Range(0, 10).Select(i => Larkfield.Session($"s{i}", Day.AddDays(lastSession - (28 * i)), 300))],
        Phases = [new PhaseFact("p", new DateOnly(2025, 1, 1), Phase.Competing)],
    };

    private static HorseFacts Unwatched(Phase phase) => Larkfield.Blank with
    {
        Sessions = [Larkfield.Session("s", Day, 300)],
        Phases = [new PhaseFact("p", new DateOnly(2025, 1, 1), phase)],
        Pairings = [Larkfield.Pairing("a", 300) with { TreeShapes = [] }],
    };

    // Trade sources differ; defaults are ours.
    [Theory]
    [InlineData(Phase.Steady, 26)]
    [InlineData(Phase.LettingDown, 26)]
    [InlineData(Phase.Competing, 12)]
    [InlineData(Phase.Building, 12)]
    [InlineData(Phase.Conditioning, 12)]
    [InlineData(Phase.Backing, 8)]
    [InlineData(Phase.Rehabilitation, 3)]
    public void Assess_unwatched_pairing_is_checked_by_the_table(Phase phase, int weeks) =>
        Assert.Equal(From.AddDays(weeks * 7), Unwatched(phase).Wanted(CheckKind.Fit)!.Days.DueOn);

    [Fact]
    public void Assess_growing_horse_is_checked_every_eight_weeks() =>
        Assert.Equal(From.AddDays(56), (Unwatched(Phase.Steady) with { BornOn = new DateOnly(2022, 5, 1) }).Wanted(CheckKind.Fit)!.Days.DueOn);

    // In steady competing work the back is measured every 42 days; the window of a re-measure is open for 28 more.
    [Theory]
    [InlineData(-7)]
    [InlineData(-43)]
    [InlineData(-70)]
    public void Assess_watched_pairing_waits_longest_while_it_is_measured_as_asked(int lastSession) =>
        Assert.Equal(From.AddDays(26 * 7), MeasuredUntil(lastSession).Wanted(CheckKind.Fit)!.Days.DueOn);

    [Fact]
    public void Assess_pairing_that_is_watched_no_longer_is_checked_by_the_table_but_no_sooner_than_it_can_be_booked()
    {
        var fit = MeasuredUntil(-71).Wanted(CheckKind.Fit)!;
        var closed = Day.AddDays(-71 + 42 + 28);
        Assert.Equal((closed.AddDays(35), closed), (fit.Days.DueOn, fit.Days.BookBy));
        Assert.EndsWith($"every 12 weeks of riding while competing, not measured since {Words.Day(Day.AddDays(-71))}.", fit.Reasons[0].Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Assess_clock_counts_from_the_last_fit_check()
    {
        var facts = Unwatched(Phase.Competing).With(Larkfield.FitDone(From.AddDays(30)));
        var fit = facts.Wanted(CheckKind.Fit)!;
        Assert.Equal(From.AddDays(30 + 84), fit.Days.DueOn);
        Assert.Equal("Fit last checked on 31 March 2026: every 12 weeks of riding while competing.", fit.Reasons[0].Text);
        Assert.Equal((fit.Days.DueOn.AddDays(-35), fit.Days.DueOn.AddDays(-35 - 42)), (fit.Days.BookBy, fit.NoticeOn));
    }

    [Fact]
    public void Assess_clock_stands_still_during_a_lay_off()
    {
        var facts = Unwatched(Phase.Competing)
            .With(new EventFact("l", From.AddDays(10), EventKind.LayOff))
            .With(new EventFact("w", From.AddDays(30), EventKind.StartOfWork));
        Assert.Equal(From.AddDays(84 + 20), facts.Wanted(CheckKind.Fit)!.Days.DueOn);
    }

    [Fact]
    public void Assess_clock_stands_still_during_a_rest_phase_until_a_working_one()
    {
        var facts = Unwatched(Phase.Competing)
            .With(new PhaseFact("r", From.AddDays(10), Phase.Rest))
            .With(new PhaseFact("w", From.AddDays(24), Phase.Competing));
        var fit = facts.Wanted(CheckKind.Fit)!;
        Assert.Equal((Cause.FitCheckAge, From.AddDays(84 + 14)), (fit.Reasons[0].Cause, fit.Days.DueOn));
    }

    [Theory]
    [InlineData(Phase.Rest, 240)]
    [InlineData(Phase.Competing, 0)]
    public void Assess_saddle_nobody_rides_in_has_no_due_day(Phase phase, int weeklyMinutes)
    {
        var facts = Unwatched(phase);
        facts = facts with { Pairings = [facts.Pairings[0] with { WeeklyMinutes = weeklyMinutes }] };
        Assert.Null(facts.Wanted(CheckKind.Fit));
    }

    [Theory]
    [InlineData(27, false)]
    [InlineData(28, true)]
    public void Assess_back_to_work_after_a_lay_off_of_four_weeks_is_checked_before_the_first_ride(int daysOff, bool wanted)
    {
        var back = Day.AddDays(-1);
        var facts = Unwatched(Phase.Steady)
            .With(new EventFact("l", back.AddDays(-daysOff), EventKind.Illness))
            .With(new EventFact("w", back, EventKind.StartOfWork));
        var fit = facts.Wanted(CheckKind.Fit)!;
        Assert.Equal(wanted, fit.Reasons[0].Cause == Cause.BackToWork);
        if (wanted)
            Assert.Equal((back, Urgency.Now, "Back to work on 31 May 2026 after 4 weeks off: check the fit before the first ride."), (fit.Days.DueOn, fit.Days.Urgency, fit.Reasons[0].Text));
    }

    [Theory]
    [InlineData(Phase.Steady, Phase.Competing, true)]
    [InlineData(Phase.Competing, Phase.Steady, false)]
    [InlineData(Phase.Rest, Phase.LettingDown, true)]
    [InlineData(Phase.LettingDown, Phase.Rehabilitation, true)]
    [InlineData(Phase.Rehabilitation, Phase.Backing, true)]
    [InlineData(Phase.Backing, Phase.Steady, true)]
    [InlineData(Phase.Steady, Phase.Conditioning, true)]
    [InlineData(Phase.Conditioning, Phase.Building, true)]
    [InlineData(Phase.Building, Phase.Competing, true)]
    [InlineData(Phase.Building, Phase.Building, false)]
    [InlineData(Phase.Steady, Phase.Rest, false)]
    public void Assess_phase_that_raises_the_work_wants_a_fit_check(Phase before, Phase after, bool wanted)
    {
        var facts = Unwatched(before).With(new PhaseFact("q", Day.AddDays(-2), after));
        Assert.Equal(wanted, facts.Assess().Wanted.Any(check => check.Reasons.Any(reason => reason.Cause == Cause.BackToWork)));
    }

    [Fact]
    public void Assess_same_work_after_a_short_rest_is_no_rise()
    {
        var facts = Unwatched(Phase.Competing)
            .With(new PhaseFact("r", Day.AddDays(-10), Phase.Rest))
            .With(new PhaseFact("q", Day.AddDays(-2), Phase.Competing));
        Assert.DoesNotContain(facts.Wanted(CheckKind.Fit)!.Reasons, reason => reason.Cause == Cause.BackToWork);
    }

    [Theory]
    [InlineData(-15, true)]
    [InlineData(-14, false)]
    [InlineData(1, false)]
    public void Assess_fit_check_within_two_weeks_before_or_after_answers_the_rise(int doneAfter, bool wanted)
    {
        var rise = Day.AddDays(-2);
        var facts = Unwatched(Phase.Steady).With(new PhaseFact("q", rise, Phase.Building)).With(Larkfield.FitDone(rise.AddDays(doneAfter)));
        Assert.Equal(wanted, facts.Wanted(CheckKind.Fit)!.Reasons.Any(reason => reason.Cause == Cause.BackToWork));
    }

    [Fact]
    public void Assess_planned_rise_is_booked_ahead()
    {
        var fit = Unwatched(Phase.Steady).With(new PhaseFact("q", Day.AddDays(20), Phase.Building, Occurrence.Planned)).Wanted(CheckKind.Fit)!;
        Assert.Equal((Cause.BackToWork, Day.AddDays(20), Urgency.Soon), (fit.Reasons[0].Cause, fit.Days.DueOn, fit.Days.Urgency));
    }
}
