using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Checks;

public sealed class FlockingCheckTests
{
    // Bridging out and within what flocking takes up; the next fit check by age opens months from now.
    [Fact]
    public void Assess_whatFlockingTakesUpIsOut_opensFlockingAndDoesNotWaitForTheNextFitCheck()
    {
        var opened = Sunk.Assess().Decisions.OfType<CheckDecision.Open>().Select(open => open.Check).Single(check => check.PairingId is not null);

        Assert.Equal((CheckKind.Flocking, Urgency.Now), (opened.Kind, opened.Days.Urgency));
        Assert.Contains("Flocking can take it up", opened.Reasons[0].Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Assess_whatFlockingTakesUpIsOutAndAFitCheckStands_joinsThatOne()
    {
        var days = new CheckDays(Larkfield.Today.AddDays(-7), Larkfield.Today, Larkfield.Today.AddDays(14), Larkfield.Today.AddDays(28), Urgency.Routine);
        var age = new Reason(Cause.FitCheckAge, "Long ago.", Larkfield.Today, null, null, 26, "weeks", null);
        var standing = new CheckFact("c1", CheckKind.Fit, "a", CheckState.Open, days, [age], null, null, null);

        var assessment = Sunk.With(standing).Assess();

        Assert.DoesNotContain(assessment.Decisions, decision => decision is CheckDecision.Open { Check.Kind: CheckKind.Flocking });
        var revised = Assert.Single(assessment.Decisions.OfType<CheckDecision.Revise>());
        Assert.Equal(("c1", Urgency.Now), (revised.CheckId, revised.Days.Urgency));
    }

    [Fact]
    public void Assess_narrowTreeThatBridges_isRefitted()
    {
        var narrow = Sunk with { Sessions = [.. Sunk.Sessions.Select((session, i) => TracedHorse.Session($"s{i}", session.On, changeMm: 40, dipMm: 30))] };

        var assessment = narrow.Assess();

        Assert.Contains(assessment.Pairings[0].Findings, finding => finding.Key.Measure == Measure.Bridging && finding.Severity == Severity.Out);
        Assert.Equal(CheckKind.Refit, assessment.Decisions.OfType<CheckDecision.Open>().Single(open => open.Check.PairingId is not null).Check.Kind);
    }

    [Fact]
    public void Assess_whatFlockingTakesUpIsOutWhileAFitCheckIsAskedFor_joinsThatOne()
    {
        var soon = Sunk with { Pairings = [Sunk.Pairings[0] with { From = new DateOnly(2025, 12, 1) }] };

        Assert.Contains(soon.Wanted(CheckKind.Fit)!.Reasons, reason => reason.Cause == Cause.OutNow);
        Assert.DoesNotContain(soon.Wanted(CheckKind.Flocking)!.Reasons, reason => reason.Cause == Cause.OutNow);
    }

    // Nothing proposes unequal left/right flocking before the vet's outcome: a flocking check that was opened before the sign is no exception.
    [Fact]
    public void Assess_vetFirstSignAfterTheFlockingCheckWasOpened_leavesOneFitCheckThatWaitsForTheVet()
    {
        var facts = Uneven.Apply(Uneven.Assess());
        Assert.Contains(facts.Checks, check => check.Kind == CheckKind.Flocking && check.Reasons.Any(reason => reason.Text.Contains(Proposal, StringComparison.Ordinal)));

        facts = facts.With(Larkfield.Seen(ObservationKind.Swelling, Larkfield.Today));
        facts = facts.Apply(facts.Assess());

        var left = Assert.Single(Alive(facts), check => check.PairingId is not null);
        Assert.Equal(CheckKind.Fit, left.Kind);
        Assert.DoesNotContain(left.Reasons, reason => reason.Measure == "roll" && reason.Text.Contains(Proposal, StringComparison.Ordinal));
        Assert.Contains(left.Reasons, reason => reason.Text.Contains(Waits, StringComparison.Ordinal));
        Assert.Empty(facts.Assess().Decisions);
    }

    [Theory]
    [InlineData(CheckKind.Flocking)]
    [InlineData(CheckKind.Fit)]
    public void Assess_vetFirstSignAfterTheVisitWasBooked_wordsOfTheVisitWaitForTheVetAndAreSaidAgainAfterIt(CheckKind kind)
    {
        var facts = Uneven.Apply(Uneven.Assess());
        facts = facts with { Checks = [.. facts.Checks.Select(check => check with { Kind = kind, State = CheckState.Booked, BookedOn = Larkfield.Today.AddDays(2) })] };
        var sign = Larkfield.Seen(ObservationKind.Swelling, Larkfield.Today);

        var waiting = facts.With(sign);
        waiting = waiting.Apply(waiting.Assess());
        var (booked, before) = (waiting.Checks[0], facts.Checks[0]);
        Assert.Equal((kind, CheckState.Booked, before.Days.DueOn), (booked.Kind, booked.State, booked.Days.DueOn));
        Assert.DoesNotContain(booked.Reasons, reason => reason.Measure == "roll" && reason.Text.Contains(Proposal, StringComparison.Ordinal));
        Assert.Single(booked.Reasons, reason => reason.Measure == "roll" && reason.Text.Contains(Waits, StringComparison.Ordinal));
        Assert.Empty(waiting.Assess().Decisions);

        var seen = waiting with { Observations = [sign with { Outcome = new OutcomeFact(Larkfield.Today, OutcomeRole.Vet) }] };
        seen = seen.Apply(seen.Assess());
        Assert.Single(seen.Checks[0].Reasons, reason => reason.Measure == "roll" && reason.Text.Contains(Proposal, StringComparison.Ordinal));
        Assert.Empty(seen.Assess().Decisions);
    }

    private const string Proposal = "Flocking can take it up";
    private const string Waits = "A vet looks first: no flocking is made unequal before.";

    private static IEnumerable<CheckFact> Alive(HorseFacts facts) => facts.Checks.Where(check => check.State is CheckState.Open or CheckState.Booked);

    private static HorseFacts Uneven { get; } = TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, asymmetryPct: 1.2 * i));

    private static HorseFacts Sunk { get; } = TracedHorse.Settled with
    {
        Sessions = [.. TracedHorse.Settled.Sessions.Select((session, i) => TracedHorse.Session($"s{i}", session.On, dipMm: 28))],
    };
}
