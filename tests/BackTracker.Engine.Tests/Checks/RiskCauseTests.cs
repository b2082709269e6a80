using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Checks;

public class RiskCauseTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    /// <summary>A back that has widened by 7 mm every four weeks, to 300 mm a week ago.</summary>
    private static HorseFacts Widening(double treeWidth) => Larkfield.Settled.WithTree(treeWidth) with
    {
        Sessions = [.. Enumerable.Range(0, 8).Select(i => Larkfield.Session($"s{i}", Day.AddDays(-7 - (28 * (7 - i))), 251 + (7 * i)))],
    };

    [Fact]
    public void Assess_finding_that_is_out_wants_a_refit_in_three_days_and_no_riding()
    {
        var assessment = Larkfield.Settled.WithTree(270).Assess();
        var refit = assessment.Wanted.Single(check => check.Kind == CheckKind.Refit);
        Assert.Equal((Day.AddDays(3), Urgency.Now, Cause.OutNow), (refit.Days.DueOn, refit.Days.Urgency, Assert.Single(refit.Reasons).Cause));
        Assert.Equal((RideAdvice.DoNotRide, "Do not ride in it until it has been looked at."), (assessment.Pairings[0].Advice, assessment.Pairings[0].AdviceText));
    }

    [Fact]
    public void Assess_out_finding_takes_the_fit_check_into_the_refit()
    {
        var assessment = Larkfield.Settled.WithTree(270).With(Larkfield.Seen(ObservationKind.Rub, Day)).Assess();
        var refit = Assert.Single(assessment.Decisions.OfType<CheckDecision.Open>()).Check;
        Assert.Equal(CheckKind.Refit, refit.Kind);
        Assert.Equal([Cause.SaddleSign, Cause.OutNow], refit.Reasons.Select(reason => reason.Cause));
        Assert.Equal(Day, refit.Days.DueOn);
    }

    /// <summary>A horse whose saddle has not been looked at for longer than it should, and is out besides.</summary>
    private static HorseFacts LongUnchecked => Larkfield.Settled with { Pairings = [Larkfield.Pairing("a", 270) with { From = Day.AddDays(-250) }] };

    [Fact]
    public void Assess_refit_takes_in_an_overdue_fit_check_and_keeps_its_own_day_and_reason_first()
    {
        Assert.True((LongUnchecked with { Pairings = [Larkfield.Pairing("a", 302) with { From = Day.AddDays(-250) }] }).Wanted(CheckKind.Fit)!.Days.DueOn < Day);

        var facts = LongUnchecked;
        var refit = Assert.Single(facts.Assess().Decisions.OfType<CheckDecision.Open>(), open => open.Check.PairingId is not null).Check;
        Assert.Equal((CheckKind.Refit, Day.AddDays(3), Urgency.Now), (refit.Kind, refit.Days.DueOn, refit.Days.Urgency));
        Assert.Equal([Cause.OutNow, Cause.FitCheckAge], refit.Reasons.Select(reason => reason.Cause));

        facts = facts.Apply(facts.Assess());
        Assert.Empty(facts.Assess().Decisions);
        for (var on = Day; on < Day.AddDays(10); on = on.AddDays(1))
            Assert.DoesNotContain(facts.Assess(on).Decisions, decision => decision is CheckDecision.Revise revise && revise.Days.DueOn != Day.AddDays(3) && revise.CheckId == "c0");
    }

    // A fit check that falls due sooner than the refit still sets the day; what is most urgent is said first.
    [Fact]
    public void Assess_refit_takes_in_a_fit_check_due_tomorrow_with_its_day_but_says_first_what_is_out()
    {
        var facts = Larkfield.Settled with { Pairings = [Larkfield.Pairing("a", 270) with { From = Day.AddDays(1 - 182) }] };
        var refit = facts.Wanted(CheckKind.Refit)!;
        Assert.Equal([Cause.OutNow, Cause.FitCheckAge], refit.Reasons.Select(reason => reason.Cause));
        Assert.Equal(Day.AddDays(1), refit.Days.DueOn);
        facts = facts.Apply(facts.Assess());
        Assert.Empty(facts.Assess(Day.AddDays(1)).Decisions);
        Assert.Empty(facts.Assess(Day.AddDays(2)).Decisions);
    }

    [Fact]
    public void Assess_finding_within_tolerance_wants_no_refit() => Assert.Null(Larkfield.Settled.Wanted(CheckKind.Refit));

    [Fact]
    public void Assess_refit_that_changed_nothing_asks_the_yard_to_measure_again()
    {
        var facts = Larkfield.Settled.WithTree(270).With(Larkfield.FitDone(Day));
        var assessment = facts.Assess();
        Assert.DoesNotContain(assessment.Wanted, check => check.Kind == CheckKind.Refit);
        var measure = assessment.Wanted.Single(check => check.Kind == CheckKind.Remeasure);
        Assert.Equal((Cause.OutNow, Day), (measure.Reasons[0].Cause, measure.Days.DueOn));
        Assert.Equal(RideAdvice.NothingAgainst, assessment.Pairings[0].Advice);
        Assert.Contains("looked at on 1 June 2026", assessment.Pairings[0].AdviceText, StringComparison.Ordinal);

        var measured = facts.With(Larkfield.Session("again", Day.AddDays(2), 300));
        Assert.NotNull(measured.Wanted(CheckKind.Refit, Day.AddDays(2)));
    }

    [Fact]
    public void Assess_moving_back_wants_a_fit_check_on_the_day_the_risk_reaches_the_limit()
    {
        var facts = Widening(287);
        var forecast = ForecastOf(facts);
        var limit = forecast.ReachedOn(.2, Day)!.Value;
        var unhurried = Larkfield.Policy with { WatchedFitWeeks = 200 };
        var fit = HorseAssessment.Assess(facts, unhurried, TrendModel.Shipped, Day).Wanted.Single(check => check.Kind == CheckKind.Fit);
        Assert.True(forecast.ExpectedToLeave);
        Assert.Equal(Cause.Risk, fit.Reasons[0].Cause);
        Assert.Equal(limit, fit.Days.DueOn);
        Assert.Equal(limit.AddDays(-35), fit.Days.BookBy);
        Assert.Equal(limit.AddDays(-35 - 42), fit.NoticeOn);
        Assert.Equal(forecast.ReachedOn(.1, forecast.Overall[0].Day), fit.Days.OpensOn);
        Assert.Equal(forecast.ReachedOn(.5, limit), fit.Days.ClosesOn);
        Assert.Equal(("width150", "T13", .2, "probability"), (fit.Reasons[0].Measure, fit.Reasons[0].Station, fit.Reasons[0].Value, fit.Reasons[0].Unit));
        Assert.Matches(@"^Tree \d+ mm (narrower|wider) than the back at T13 \(limit 14( mm narrower)?\): chance of being out reaches 20 % on \d+ \w+ 20\d\d\.$", fit.Reasons[0].Text);
    }

    // By age the window would stay open for four weeks after the due day; the risk beside it reaches what closes it before that.
    [Fact]
    public void Assess_window_closes_with_the_first_cause_to_close_whichever_sets_the_day()
    {
        var facts = Widening(287);
        var forecast = ForecastOf(facts);
        var limit = forecast.ReachedOn(.2, Day)!.Value;
        var closes = forecast.ReachedOn(.22, limit)!.Value;
        var byAge = limit.AddDays(-1);
        facts = facts.With(pairing => pairing with { From = byAge.AddDays(-182) });

        var fit = HorseAssessment.Assess(facts, Larkfield.Policy with { RiskClosing = .22 }, TrendModel.Shipped, Day).Wanted.Single(check => check.Kind == CheckKind.Fit);

        Assert.Equal([Cause.FitCheckAge, Cause.Risk], fit.Reasons.OrderByDescending(reason => reason.Cause).Select(reason => reason.Cause));
        Assert.Equal((byAge, closes), (fit.Days.DueOn, fit.Days.ClosesOn));
        Assert.True(closes < byAge.AddDays(28));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(20)]
    public void Assess_risk_that_has_been_reached_is_due_today(int daysLater)
    {
        var facts = Larkfield.Settled.WithTree(288);
        var fit = facts.Wanted(CheckKind.Fit, Day.AddDays(daysLater))!;
        Assert.Equal((Day.AddDays(daysLater), Urgency.Now), (fit.Days.DueOn, fit.Days.Urgency));
        Assert.Matches(@"^Tree 12 mm narrower than the back at T13 \(limit 14\): chance that the saddle is out somewhere is 2\d % already \(limit 20 %\)\.$", fit.Reasons[0].Text);
    }

    [Fact]
    public void Assess_forecast_that_is_only_wide_wants_a_measurement()
    {
        // One session of a blank horse in a saddle somewhat narrow: nothing moves, but little is known.
        var facts = Larkfield.Blank with { Sessions = [Larkfield.Session("s", Day, 300)], Pairings = [Larkfield.Pairing("a", 292)] };
        var on = ForecastOf(facts).ReachedOn(.2, Day)!.Value;
        var assessment = facts.Assess(on);
        var reason = assessment.Wanted.Single(check => check.Kind == CheckKind.Remeasure).Reasons.Single(reason => reason.Cause == Cause.ForecastWide);
        Assert.StartsWith("Nothing new is known of the width at T13 since 1 June 2026: chance of being out reaches 20 % on ", reason.Text, StringComparison.Ordinal);
        Assert.DoesNotContain(assessment.Wanted, check => check.Reasons.Any(held => held.Cause == Cause.Risk));
    }

    /// <summary>A horse in no phase, measured every four weeks and today, that stays where it is in a saddle somewhat narrow.</summary>
    private static HorseFacts Narrowly(double treeWidth) => Larkfield.Blank with
    {
        Sessions = [.. Enumerable.Range(0, 6).Select(i => Larkfield.Session($"s{i}", Day.AddDays(-28 * (5 - i)), 300))],
        Pairings = [Larkfield.Pairing("a", treeWidth)],
    };

    // Measured again in four weeks, and a fitter five weeks later: the risk reaches the limit before that, or it does not.
    [Theory]
    [InlineData(289.2, Cause.Risk)]
    [InlineData(292.5, Cause.ForecastWide)]
    public void Assess_wide_forecast_wants_a_measurement_only_where_the_fitter_can_still_be_booked_after_it(double treeWidth, Cause cause)
    {
        var facts = Narrowly(treeWidth);
        var forecast = ForecastOf(facts);
        var limit = forecast.ReachedOn(.2, Day)!.Value;
        Assert.False(forecast.ExpectedToLeave);
        Assert.True(forecast.Overall[0].OutBy < .2);
        Assert.Equal(cause == Cause.Risk, limit < Day.AddDays(28 + 35));

        // Weeks later, with nothing new known, it is the same.
        Assert.Equal([cause], CausesOn(limit).Intersect([Cause.Risk, Cause.ForecastWide]));
        Assert.Equal([cause], CausesOn(limit.AddDays(60)).Intersect([Cause.Risk, Cause.ForecastWide]));
        Assert.Equal(cause == Cause.Risk, CausesOn(Day).Contains(Cause.Risk));

        IEnumerable<Cause> CausesOn(DateOnly day) => facts.Assess(day).Wanted.SelectMany(check => check.Reasons).Select(reason => reason.Cause);
    }

    [Fact]
    public void Assess_wide_forecast_that_cannot_wait_is_booked_for_the_day_the_risk_reaches_the_limit()
    {
        var facts = Narrowly(289.2);
        var limit = ForecastOf(facts).ReachedOn(.2, Day)!.Value;
        var fit = facts.Wanted(CheckKind.Fit)!;
        Assert.Equal((limit, limit.AddDays(-35)), (fit.Days.DueOn, fit.Days.BookBy));
        Assert.True(fit.NoticeOn <= Day);
    }

    [Fact]
    public void Assess_risk_is_answered_by_a_fit_check_until_something_new_is_measured()
    {
        var facts = Larkfield.Settled.WithTree(288).With(Larkfield.FitDone(Day));
        Assert.DoesNotContain(facts.Wanted(CheckKind.Fit)!.Reasons, reason => reason.Cause == Cause.Risk);
        var measured = facts.With(Larkfield.Session("again", Day.AddDays(1), 300));
        Assert.Contains(measured.Wanted(CheckKind.Fit, Day.AddDays(1))!.Reasons, reason => reason.Cause == Cause.Risk);
    }

    [Fact]
    public void Assess_risk_check_gives_way_to_the_refit_when_the_finding_goes_out()
    {
        var facts = Larkfield.Settled.WithTree(288);
        facts = facts.Apply(facts.Assess()).With(Larkfield.Session("wider", Day.AddDays(1), 306)).With(Larkfield.Session("sure", Day.AddDays(1), 306));
        var decisions = facts.Assess(Day.AddDays(1)).Decisions;
        Assert.Equal("Covered by the re-fit.", Assert.Single(decisions.OfType<CheckDecision.Drop>()).Note);
        Assert.Equal(CheckKind.Refit, Assert.Single(decisions.OfType<CheckDecision.Open>()).Check.Kind);
    }

    [Fact]
    public void Assess_open_risk_check_is_kept_while_the_risk_by_its_day_is_half_the_limit()
    {
        var kept = Replaced(.11);
        var dropped = Replaced(.09);
        Assert.Empty(kept.Decisions.OfType<CheckDecision.Drop>());
        Assert.Equal("The risk of leaving tolerance stays under the limit now.", Assert.Single(dropped.Decisions.OfType<CheckDecision.Drop>()).Note);
    }

    // A standing risk check whose due day is the day on which the forecast has just the probability named; the limit is set out of reach.
    private static Assessment Replaced(double probability)
    {
        var policy = Larkfield.Policy with { RiskLimit = .2, HorizonDays = 60 };
        var facts = Larkfield.Settled.WithTree(293);
        var by = ForecastOf(facts).At(Day.AddDays(30)).OutBy;
        policy = policy with { RiskLimit = 2 * by * (probability < .1 ? 1.05 : .95) };
        var days = new CheckDays(Day, Day, Day.AddDays(30), Day.AddDays(60), Urgency.Routine);
        var reason = new Reason(Cause.Risk, "Earlier.", Day.AddDays(30), "width150", "T13", .2, "probability", null);
        var check = new CheckFact("c", CheckKind.Fit, "a", CheckState.Open, days, [reason], null, null, null);
        return HorseAssessment.Assess(facts.With(check), policy, TrendModel.Shipped, Day);
    }

    private static PairingForecast ForecastOf(HorseFacts facts)
    {
        var last = Day.AddDays(Larkfield.Policy.HorizonDays);
        var fit = new PairingFit(facts.Pairings[0], new HorseTrends(facts, TrendModel.Shipped), Larkfield.Policy, Day, (Day, last));
        Assert.True(PairingForecast.TryMake(fit, last, out var forecast));
        return forecast;
    }
}
