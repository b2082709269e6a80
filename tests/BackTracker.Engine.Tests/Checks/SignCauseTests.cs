using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Checks;

public class SignCauseTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    // The vet-first list of the trade; one-sided slip: Greve and Dyson 2013, Equine Vet J 45:570-577; score of 8 of 24 or more: Dyson and
    // Pollard 2020, Animals 10:1044.
    [Theory]
    [InlineData(ObservationKind.OpenSore, ObservationSeverity.Mild, null, true)]
    [InlineData(ObservationKind.Heat, ObservationSeverity.Unstated, null, true)]
    [InlineData(ObservationKind.Swelling, ObservationSeverity.Unstated, null, true)]
    [InlineData(ObservationKind.Lameness, ObservationSeverity.Unstated, null, true)]
    [InlineData(ObservationKind.SaddleSlipsOneSide, ObservationSeverity.Unstated, null, true)]
    [InlineData(ObservationKind.ToplineLoss, ObservationSeverity.Unstated, null, true)]
    [InlineData(ObservationKind.Bucking, ObservationSeverity.Unstated, null, true)]
    [InlineData(ObservationKind.Rearing, ObservationSeverity.Unstated, null, true)]
    [InlineData(ObservationKind.Bolting, ObservationSeverity.Unstated, null, true)]
    [InlineData(ObservationKind.Neurological, ObservationSeverity.Unstated, null, true)]
    [InlineData(ObservationKind.Soreness, ObservationSeverity.Mild, null, false)]
    [InlineData(ObservationKind.Soreness, ObservationSeverity.Unstated, null, true)]
    [InlineData(ObservationKind.Soreness, ObservationSeverity.Moderate, null, true)]
    [InlineData(ObservationKind.RiddenBehaviourScore, ObservationSeverity.Unstated, 7, false)]
    [InlineData(ObservationKind.RiddenBehaviourScore, ObservationSeverity.Unstated, 8, true)]
    [InlineData(ObservationKind.DryPatch, ObservationSeverity.Severe, null, false)]
    [InlineData(ObservationKind.SaddleMoves, ObservationSeverity.Severe, null, false)]
    [InlineData(ObservationKind.Other, ObservationSeverity.Severe, null, false)]
    public void IsVetFirst_rows(ObservationKind kind, ObservationSeverity severity, int? score, bool expected) =>
        Assert.Equal(expected, Signs.IsVetFirst(Larkfield.Seen(kind, Day, severity, score), Larkfield.Policy));

    [Fact]
    public void Assess_vet_first_sign_stops_everything_but_the_vet_and_a_fit_check_beside_it()
    {
        var facts = Larkfield.Blank with { Pairings = [Larkfield.Pairing("a", 300)] };
        var assessment = facts.With(Larkfield.Seen(ObservationKind.Heat, Day.AddDays(-2))).Assess();
        Assert.True(assessment.VetFirst);
        Assert.Equal(["o-Heat"], assessment.VetFirstObservationIds);
        Assert.Equal([(CheckKind.Vet, null), (CheckKind.Fit, "a")], assessment.Wanted.Select(check => (check.Kind, check.PairingId)));
        Assert.All(assessment.Wanted, check => Assert.Equal((Urgency.Now, Day, Cause.VetFirst), (check.Days.Urgency, check.Days.DueOn, check.Reasons[0].Cause)));
        Assert.Equal((RideAdvice.StopVetFirst, "Stop, vet first."), (assessment.Pairings[0].Advice, assessment.Pairings[0].AdviceText));
        Assert.Equal("Heat seen on 30 May 2026: stop using the saddle, a vet looks first.", assessment.Wanted[0].Reasons[0].Text);
    }

    [Fact]
    public void Assess_vet_first_sign_leaves_standing_checks_as_they_are()
    {
        var facts = (Larkfield.Blank with { Pairings = [Larkfield.Pairing("a", 300)] });
        facts = facts.Apply(facts.Assess());
        var measure = facts.Checks.Single(check => check.Kind == CheckKind.Remeasure);
        var after = facts.With(Larkfield.Seen(ObservationKind.Heat, Day));
        Assert.Same(measure, after.Apply(after.Assess()).Checks.Single(check => check.Kind == CheckKind.Remeasure));
    }

    [Theory]
    [InlineData(OutcomeRole.Vet, false)]
    [InlineData(OutcomeRole.Fitter, true)]
    [InlineData(OutcomeRole.YardManager, true)]
    public void Assess_vet_first_sign_is_closed_by_a_vet_alone(OutcomeRole role, bool open)
    {
        var seen = Larkfield.Seen(ObservationKind.Heat, Day.AddDays(-2)) with { Outcome = new OutcomeFact(Day, role) };
        Assert.Equal(open, Larkfield.Settled.With(seen).Assess().VetFirst);
    }

    [Fact]
    public void Assess_after_the_vet_the_vet_check_is_complete_and_the_fit_check_stays_until_it_is_done()
    {
        var sign = Larkfield.Seen(ObservationKind.Heat, Day.AddDays(-2));
        var facts = Larkfield.Settled.With(sign);
        facts = facts.Apply(facts.Assess());
        facts = facts with { Observations = [sign with { Outcome = new OutcomeFact(Day, OutcomeRole.Vet) }] };

        var assessment = facts.Assess();
        var complete = Assert.Single(assessment.Decisions.OfType<CheckDecision.Complete>());
        Assert.Equal((Day, "Seen by the vet on 1 June 2026."), (complete.On, complete.Note));
        var revise = Assert.Single(assessment.Decisions.OfType<CheckDecision.Revise>());
        Assert.Equal("Heat of 30 May 2026 was seen by the vet on 1 June 2026: check the fit before the next ride.", Assert.Single(revise.Reasons).Text);

        var done = facts.Apply(assessment);
        done = done with { Checks = [.. done.Checks.Select(check => check.Kind == CheckKind.Fit ? check with { State = CheckState.Done, DoneOn = Day } : check)] };
        Assert.DoesNotContain(done.Assess().Wanted, check => check.Reasons.Any(reason => reason.Cause == Cause.SaddleSign));
    }

    [Fact]
    public void Assess_sign_taken_back_drops_the_vet_check()
    {
        var facts = Larkfield.Settled.With(Larkfield.Seen(ObservationKind.Heat, Day));
        facts = facts.Apply(facts.Assess()) with { Observations = [] };
        Assert.Equal(2, facts.Assess().Decisions.OfType<CheckDecision.Drop>().Count());
    }

    [Theory]
    [InlineData(ObservationKind.DryPatch, ObservationSeverity.Unstated, true)]
    [InlineData(ObservationKind.Rub, ObservationSeverity.Unstated, true)]
    [InlineData(ObservationKind.WhiteHairs, ObservationSeverity.Unstated, true)]
    [InlineData(ObservationKind.SaddleMoves, ObservationSeverity.Unstated, true)]
    [InlineData(ObservationKind.Behaviour, ObservationSeverity.Unstated, true)]
    [InlineData(ObservationKind.Soreness, ObservationSeverity.Mild, true)]
    [InlineData(ObservationKind.Other, ObservationSeverity.Severe, false)]
    public void Assess_saddle_sign_wants_a_fit_check_before_the_next_ride(ObservationKind kind, ObservationSeverity severity, bool wanted)
    {
        var fit = Larkfield.Settled.With(Larkfield.Seen(kind, Day, severity)).Wanted(CheckKind.Fit)!;
        Assert.Equal(wanted, fit.Days.Urgency == Urgency.Now && fit.Days.DueOn == Day && fit.Reasons[0].Cause == Cause.SaddleSign);
    }

    [Theory]
    [InlineData(1, false)]
    [InlineData(-1, true)]
    public void Assess_saddle_sign_is_looked_at_by_a_later_fit_check(int doneAfter, bool wanted)
    {
        var facts = Larkfield.Settled.With(Larkfield.Seen(ObservationKind.Rub, Day.AddDays(-3))).With(Larkfield.FitDone(Day.AddDays(-3 + doneAfter)));
        Assert.Equal(wanted, facts.Wanted(CheckKind.Fit)!.Reasons.Any(reason => reason.Cause == Cause.SaddleSign));
    }

    [Fact]
    public void Assess_saddle_sign_of_the_day_of_a_fit_check_counts_unless_that_check_was_for_it()
    {
        var facts = Larkfield.Settled.With(Larkfield.Seen(ObservationKind.Rub, Day));
        var reason = facts.Wanted(CheckKind.Fit)!.Reasons[0];
        Assert.Contains(facts.With(Larkfield.FitDone(Day)).Wanted(CheckKind.Fit)!.Reasons, held => held.Cause == Cause.SaddleSign);
        Assert.DoesNotContain(facts.With(Larkfield.FitDone(Day, reason)).Wanted(CheckKind.Fit)!.Reasons, held => held.Cause == Cause.SaddleSign);
    }

    [Fact]
    public void Assess_saddle_sign_with_an_outcome_is_closed()
    {
        var seen = Larkfield.Seen(ObservationKind.Rub, Day.AddDays(-3)) with { Outcome = new OutcomeFact(Day, OutcomeRole.Fitter) };
        Assert.DoesNotContain(Larkfield.Settled.With(seen).Wanted(CheckKind.Fit)!.Reasons, reason => reason.Cause == Cause.SaddleSign);
    }

    [Fact]
    public void Assess_behaviour_score_under_the_limit_wants_a_fit_check_in_two_weeks()
    {
        var fit = Larkfield.Settled.With(Larkfield.Seen(ObservationKind.RiddenBehaviourScore, Day, score: 7)).Wanted(CheckKind.Fit)!;
        Assert.Equal((Day.AddDays(14), Day, Urgency.Soon), (fit.Days.DueOn, fit.NoticeOn, fit.Days.Urgency));
        Assert.Equal("Ridden-behaviour score of 7 of 24 given on 1 June 2026: check the fit within 2 weeks.", fit.Reasons[0].Text);
    }

    [Fact]
    public void Cautions_say_that_a_flag_means_stop_and_that_green_does_not_mean_safe()
    {
        Assert.Contains("A flag means stop and have it looked at.", Cautions.ForFit);
        Assert.Contains(Cautions.ForFit, text => text.Contains("does not mean safe", StringComparison.Ordinal));
        // It stands under laid trees too.
        Assert.DoesNotContain(Cautions.ForFit, text => text.Contains("widths", StringComparison.Ordinal));
        Assert.Contains(Cautions.ForFit, text => text.Contains("vet or a qualified fitter before the next ride", StringComparison.Ordinal));
        Assert.Contains(Cautions.VetFirst, text => text.Contains("until a vet has looked", StringComparison.Ordinal));
    }
}
