using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Checks;

public class FlockingCauseTests
{
    private static readonly DateOnly Day = Larkfield.Today;
    private static readonly DateOnly From = new(2026, 3, 1);

    /// <summary>A saddle that nobody can forecast for, on a horse in steady work.</summary>
    private static HorseFacts Saddled(Filling filling, int? weeklyMinutes = null) => Larkfield.Blank with
    {
        Sessions = [Larkfield.Session("s", Day, 300)],
        Phases = [new PhaseFact("p", new DateOnly(2025, 1, 1), Phase.Steady)],
        Pairings = [Larkfield.Pairing("a", 300) with { TreeShapes = [], Filling = filling, WeeklyMinutes = weeklyMinutes }],
    };

    private static HorseFacts Flocked(HorseFacts facts, DateOnly on) => facts.With(pairing => pairing.Adjusted(on, AdjustmentKind.Flocking, TracedHorse.Both(Zone.Front, 2)));

    private static HorseFacts Made(HorseFacts facts, DateOnly on) => facts.With(pairing => pairing with { MadeOn = on });

    private static RideFact Ride(DateOnly on, int minutes, string horse = "h1", string saddle = "saddle-a") => new($"r{on:yyyyMMdd}{horse}{saddle}", on, horse, saddle, minutes);

    /// <summary>The reason for looking at the flocking and its day, wherever it was taken in.</summary>
    private static (Reason Reason, DateOnly DueOn)? Look(HorseFacts facts, DateOnly? on = null) => facts.Assess(on).Wanted
        .SelectMany(want => want.Reasons, (want, reason) => (reason, want.Days.DueOn))
        .Where(look => look.reason.Cause is Cause.BeddingIn or Cause.FlockingAge)
        .Select(look => ((Reason, DateOnly)?)look)
        .SingleOrDefault();

    // Trade sources differ: 10 hours; 20 hours; 2 to 6 months. Our default is the first of 20 ridden hours and 12 weeks, for wool alone.
    [Theory]
    [InlineData(Filling.Wool, null, 84, "New saddle, in use since 1 March 2026: new wool is looked at after 12 weeks of riding.")]
    [InlineData(Filling.Wool, 240, 35, "New saddle, in use since 1 March 2026: new wool is looked at after 20 ridden hours.")]
    [InlineData(Filling.Wool, 100, 84, "New saddle, in use since 1 March 2026: new wool is looked at after 20 ridden hours.")]
    [InlineData(Filling.Wool, 99, 84, "New saddle, in use since 1 March 2026: new wool is looked at after 12 weeks of riding.")]
    [InlineData(Filling.Foam, 240, 182, "New saddle, in use since 1 March 2026: a foam panel is looked at after 26 weeks of riding.")]
    [InlineData(Filling.Air, 240, 182, "New saddle, in use since 1 March 2026: an air panel is looked at after 26 weeks of riding.")]
    [InlineData(Filling.Felt, 240, 182, "New saddle, in use since 1 March 2026: a felt panel is looked at after 26 weeks of riding.")]
    [InlineData(Filling.Other, 240, 182, "New saddle, in use since 1 March 2026: a panel without wool is looked at after 26 weeks of riding.")]
    public void Assess_new_saddle_is_looked_at_when_it_has_bedded_in(Filling filling, int? weeklyMinutes, int days, string text)
    {
        var (reason, due) = Look(Made(Saddled(filling, weeklyMinutes), From))!.Value;
        Assert.Equal((Cause.BeddingIn, text, "saddle-a", From.AddDays(days)), (reason.Cause, reason.Text, reason.SourceId, due));
    }

    // Common practice, no source.
    [Theory]
    [InlineData(Filling.Wool, null, 182, "wool is looked at every 26 weeks of riding.")]
    [InlineData(Filling.Wool, 400, 158, "wool is looked at every 150 ridden hours.")]
    [InlineData(Filling.Foam, 400, 364, "a foam panel is looked at every 52 weeks of riding.")]
    public void Assess_flocking_packs_down(Filling filling, int? weeklyMinutes, int days, string rule)
    {
        var (reason, due) = Look(Saddled(filling, weeklyMinutes))!.Value;
        Assert.Equal((Cause.FlockingAge, From.AddDays(days)), (reason.Cause, due));
        Assert.Equal($"In use since 1 March 2026 without a look at the flocking: {rule}", reason.Text);
    }

    [Fact]
    public void Assess_look_at_the_flocking_is_a_visit_that_is_booked_ahead()
    {
        var look = Flocked(Saddled(Filling.Wool), Day).With(Larkfield.FitDone(Day)).Wanted(CheckKind.Flocking)!;
        Assert.Equal(
            (Day.AddDays(84), Day.AddDays(84 - 35), Day.AddDays(84 - 28), Day.AddDays(84 + 28), Urgency.Routine),
            (look.Days.DueOn, look.Days.BookBy, look.Days.OpensOn, look.Days.ClosesOn, look.Days.Urgency));
        Assert.Equal("Flocked on 1 June 2026: new wool is looked at after 12 weeks of riding.", look.Reasons[0].Text);
        Assert.Equal(("j0", 12.0, "weeks"), (look.Reasons[0].SourceId, look.Reasons[0].Value, look.Reasons[0].Unit));
    }

    [Theory]
    [InlineData(-84, Cause.FlockingAge)]
    [InlineData(-83, Cause.BeddingIn)]
    public void Assess_saddle_made_within_twelve_weeks_of_the_pairing_counts_as_new(int madeBefore, Cause cause)
    {
        var (reason, due) = Look(Made(Saddled(Filling.Wool), From.AddDays(madeBefore)))!.Value;
        Assert.Equal((cause, From), (reason.Cause, reason.On));
        Assert.Equal(From.AddDays(cause == Cause.BeddingIn ? 84 : 182), due);
    }

    [Fact]
    public void Assess_saddle_made_after_the_pairing_began_is_new_from_the_day_it_was_made() =>
        Assert.Equal(From.AddDays(5 + 84), Look(Made(Saddled(Filling.Wool), From.AddDays(5)))!.Value.DueOn);

    [Theory]
    [InlineData(AdjustmentKind.Flocking, Cause.BeddingIn)]
    [InlineData(AdjustmentKind.Shim, Cause.FlockingAge)]
    [InlineData(AdjustmentKind.Balance, Cause.FlockingAge)]
    public void Assess_only_flocking_beds_in(AdjustmentKind kind, Cause cause) =>
        Assert.Equal(cause, Look(Saddled(Filling.Wool).With(pairing => pairing.Adjusted(Day, kind, TracedHorse.Both(Zone.Front, 2))))!.Value.Reason.Cause);

    // The visit that flocked it has not seen it bedded in.
    [Theory]
    [InlineData(CheckKind.Flocking, 0, Cause.BeddingIn)]
    [InlineData(CheckKind.Flocking, 1, Cause.FlockingAge)]
    [InlineData(CheckKind.Fit, 1, Cause.FlockingAge)]
    [InlineData(CheckKind.Refit, 1, Cause.FlockingAge)]
    public void Assess_bedding_in_ends_with_a_look_on_a_later_day(CheckKind kind, int daysAfter, Cause cause)
    {
        var flockedOn = Day.AddDays(-20);
        var facts = Flocked(Saddled(Filling.Wool), flockedOn).With(Larkfield.Done(kind, flockedOn.AddDays(daysAfter)));
        var (reason, due) = Look(facts)!.Value;
        Assert.Equal((cause, flockedOn.AddDays(daysAfter)), (reason.Cause, reason.On));
        if (cause == Cause.FlockingAge)
            Assert.Equal((flockedOn.AddDays(1 + 182), "Flocking last looked at on 13 May 2026: wool is looked at every 26 weeks of riding."), (due, reason.Text));
    }

    // One saddle on two horses: whoever looked at it on the other one has looked at the same wool.
    [Theory]
    [InlineData(0, Cause.BeddingIn)]
    [InlineData(1, Cause.FlockingAge)]
    [InlineData(21, Cause.BeddingIn)]
    public void Assess_look_at_the_saddle_on_another_horse_counts(int daysAfter, Cause cause)
    {
        var flockedOn = Day.AddDays(-20);
        var facts = Flocked(Saddled(Filling.Wool), flockedOn).With(pairing => pairing with { LooksElsewhere = [new LookFact("theirs", flockedOn.AddDays(daysAfter))] });
        var (reason, _) = Look(facts)!.Value;
        Assert.Equal((cause, cause == Cause.FlockingAge ? "theirs" : "j0"), (reason.Cause, reason.SourceId));
    }

    [Fact]
    public void Assess_flocking_again_starts_again() =>
        Assert.Equal(Day.AddDays(84), Look(Flocked(Flocked(Saddled(Filling.Wool), Day.AddDays(-30)), Day))!.Value.DueOn);

    [Fact]
    public void Assess_clock_of_the_flocking_stands_still_while_nobody_rides()
    {
        var resting = Flocked(Saddled(Filling.Wool, 240), Day.AddDays(-21)).With(new PhaseFact("r", Day.AddDays(-14), Phase.Rest));
        Assert.Null(Look(resting));
        // Seven days ridden before the rest, 28 to go after it.
        Assert.Equal(Day.AddDays(28), Look(resting.With(new PhaseFact("w", Day, Phase.Steady)))!.Value.DueOn);
    }

    [Fact]
    public void Assess_saddle_without_ridden_minutes_has_no_clock_until_a_ride_is_recorded()
    {
        var spare = Flocked(Saddled(Filling.Wool, 0), Day);
        Assert.Null(Look(spare));
        Assert.Null(Look(spare.With(Ride(Day, 60, horse: "h2"))));
        Assert.Equal(Day.AddDays(84), Look(spare.With(Ride(Day, 60)))!.Value.DueOn);
    }

    // Twenty rides of one hour on every other day, and nothing said of the week: 20 hours lie behind the saddle after day 38.
    [Fact]
    public void Assess_recorded_rides_count_where_there_are_any()
    {
        var ridden = Flocked(Saddled(Filling.Wool), Day.AddDays(-50)).With([.. Enumerable.Range(0, 20).Select(i => Ride(Day.AddDays(-50 + (2 * i)), 60))]);
        Assert.Equal(Day.AddDays(-50 + 39), Look(ridden)!.Value.DueOn);
    }

    // The same 19 rides of one hour up to day 38, and 14 of them in weeks 1 to 4: 210 minutes a week from day 42 on, so that the last hour takes two days.
    [Fact]
    public void Assess_rides_that_were_recorded_go_on_as_they_were_where_nobody_said_how_long()
    {
        var ridden = Flocked(Saddled(Filling.Wool), Day.AddDays(-50)).With([.. Enumerable.Range(1, 19).Select(i => Ride(Day.AddDays(-50 + (2 * i)), 60))]);
        Assert.Equal(Day.AddDays(-50 + 44), Look(ridden)!.Value.DueOn);
        Assert.Equal(Look(ridden), Look(ridden, Day.AddDays(5)));
    }

    // 5 hours in each of two weeks, and the first ride of the third: 10 h, then 1 h, then 5 h a week from day 21 on: 9 h more are 12.6 days.
    [Fact]
    public void Assess_hours_still_to_come_are_foreseen_from_recorded_rides()
    {
        var start = Day.AddDays(-14);
        var ridden = Flocked(Saddled(Filling.Wool), start).With([.. Enumerable.Range(0, 14).Where(i => i % 7 < 5).Append(14).Select(i => Ride(start.AddDays(i), 60))]);
        Assert.Equal(start.AddDays(21 + 13), Look(ridden)!.Value.DueOn);
    }

    // In the first week nobody knows yet how much is ridden.
    [Fact]
    public void Assess_first_ride_foresees_nothing() =>
        Assert.Equal(Day.AddDays(84), Look(Flocked(Saddled(Filling.Wool), Day).With(Ride(Day, 300)))!.Value.DueOn);

    // 4 h a week by the pairing. A week with rides counts them alone: 2 h instead of 4 puts the 20 hours off by half a week of 240 minutes.
    [Theory]
    [InlineData(120, 35 + 4)]
    [InlineData(240, 35)]
    [InlineData(480, 35 - 7)]
    public void Assess_week_with_rides_counts_them_and_the_others_the_weekly_minutes(int minutes, int days) =>
        Assert.Equal(Day.AddDays(days), Look(Flocked(Saddled(Filling.Wool, 240), Day).With(Ride(Day.AddDays(8), minutes)), Day.AddDays(9))!.Value.DueOn);

    // 20 h = 3 x 4 h by the week + 8 h on another horse.
    [Fact]
    public void Assess_rides_on_another_horse_wear_the_flocking_too()
    {
        var facts = Flocked(Saddled(Filling.Wool, 240), Day).With(Ride(Day.AddDays(1), 480, horse: "h2"), Ride(Day.AddDays(2), 900, saddle: "saddle-b"));
        Assert.Equal(Day.AddDays(21), Look(facts, Day.AddDays(3))!.Value.DueOn);
    }

    [Fact]
    public void Assess_ride_still_to_come_or_before_the_flocking_counts_for_nothing()
    {
        var facts = Flocked(Saddled(Filling.Wool, 240), Day).With(Ride(Day.AddDays(-1), 600), Ride(Day.AddDays(1), 600));
        Assert.Equal(Day.AddDays(35), Look(facts)!.Value.DueOn);
    }

    [Fact]
    public void Assess_fit_check_takes_in_a_look_at_the_flocking_that_falls_due_in_its_window()
    {
        var facts = Saddled(Filling.Wool);
        var fit = facts.Wanted(CheckKind.Fit)!;
        Assert.Equal([Cause.FitCheckAge, Cause.FlockingAge], fit.Reasons.Select(reason => reason.Cause));
        Assert.Null(facts.Wanted(CheckKind.Flocking));
    }

    [Fact]
    public void Assess_look_at_new_flocking_long_before_the_fit_check_stands_alone_and_is_decided_once()
    {
        var facts = Flocked(Saddled(Filling.Wool, 240), Day).With(Larkfield.FitDone(Day));
        var open = Assert.IsType<CheckDecision.Open>(Assert.Single(facts.Assess().Decisions));
        Assert.Equal((CheckKind.Flocking, Day.AddDays(35), Day), (open.Check.Kind, open.Check.Days.DueOn, open.Check.Days.BookBy));

        facts = facts.Apply(facts.Assess());
        for (var on = Day; on < Day.AddDays(30); on = on.AddDays(1))
            Assert.DoesNotContain(facts.With(Ride(on, 40)).Assess(on).Decisions, decision => decision is CheckDecision.Revise { Days: var days } && days.DueOn != Day.AddDays(35));
    }

    [Theory]
    [InlineData(AdjustmentKind.Flocking, 1, true)]
    [InlineData(AdjustmentKind.Flocking, 0, true)]
    [InlineData(AdjustmentKind.Flocking, -1, false)]
    [InlineData(AdjustmentKind.Shim, 1, false)]
    public void Assess_flocking_recorded_at_the_saddle_has_done_the_look_that_was_asked_for(AdjustmentKind kind, int daysAfter, bool done)
    {
        var facts = Saddled(Filling.Wool, 480).With(Larkfield.FitDone(Day.AddDays(-90)));
        var look = Larkfield.Opened("look", facts.Assess().Wanted.Single(want => want.Kind == CheckKind.Flocking), Day);
        facts = facts.With(look).With(pairing => pairing.Adjusted(Day.AddDays(daysAfter), kind, TracedHorse.Both(Zone.Front, 2)));

        var decisions = facts.Assess(Day.AddDays(1)).Decisions;

        Assert.Equal(done, decisions.Contains(new CheckDecision.Complete("look", Day.AddDays(daysAfter), $"Flocked on {Day.AddDays(daysAfter).Day} June 2026.")));
        Assert.True(done || decisions.All(decision => decision is not CheckDecision.Complete));
    }

    // 20 hours at 40 a week are over in days, so that the look at the new flocking is opened on the day of the flocking itself.
    [Fact]
    public void Assess_flocking_does_not_do_the_look_it_asks_for()
    {
        var facts = Flocked(Saddled(Filling.Wool, 2400), Day).With(Larkfield.FitDone(Day));
        facts = facts.Apply(facts.Assess());
        Assert.Equal(Cause.BeddingIn, Assert.Single(facts.Checks, check => check.State == CheckState.Open).Reasons[0].Cause);
        Assert.Empty(facts.Assess().Decisions);
    }

    [Fact]
    public void Assess_rest_drops_a_look_that_is_not_booked()
    {
        var facts = Flocked(Saddled(Filling.Wool, 240), Day);
        facts = facts.Apply(facts.Assess()).With(new PhaseFact("r", Day, Phase.Rest));
        Assert.Contains("The time ridden since the flocking was looked at does not call for another look now.", facts.Assess().Decisions.OfType<CheckDecision.Drop>().Select(drop => drop.Note));
    }
}
