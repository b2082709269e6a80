using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Checks;

/// <summary>
/// Flocking or refit. Facts of the trade: flocking levels and fills a small hollow, cannot alter width, angle or channel, and padding never
/// cures a narrow saddle (trade guidance; limits of 10 mm a zone: common practice, no source).
/// </summary>
public class RemedyTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    // The back dips more by the session, so that the panel hangs over the middle.
    private static readonly HorseFacts Bridging = TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, dipMm: 18 + (1.6 * i)));

    [Fact]
    public void Assess_bridging_that_flocking_can_take_up_wants_flocking_and_no_refit()
    {
        var assessment = Bridging.Assess();
        var finding = assessment.Pairings[0].Findings.Single(finding => finding.Key.Measure == Measure.Bridging);
        Assert.Equal((Severity.Out, 13), (finding.Severity, finding.Near!.Value.Vertebra));
        Assert.InRange(finding.FlockingMm, 8, 10);
        var flocking = assessment.Wanted.Single(want => want.Kind == CheckKind.Flocking);
        Assert.Equal((Urgency.Now, Day.AddDays(3)), (flocking.Days.Urgency, flocking.Days.DueOn));
        // Said is what is out: flocking acts along the panel's normal and by thirds, so that it is not what goes in.
        Assert.Contains($"Flocking can take it up: a hollow of about {finding.Numbers!.Value.Value:0} mm.", flocking.Reasons[0].Text, StringComparison.Ordinal);
        Assert.DoesNotContain(assessment.Wanted, want => want.Kind == CheckKind.Refit);
        Assert.Equal(RideAdvice.DoNotRide, assessment.Pairings[0].Advice);
    }

    [Fact]
    public void Assess_reflocked_saddle_is_ok_and_its_clock_starts_anew()
    {
        var pairing = TracedHorse.Pairing("a").Adjusted(Day, AdjustmentKind.Flocking, TracedHorse.Both(Zone.Middle, 5));
        var flocked = (Bridging with { Pairings = [pairing] }).With(Done(CheckKind.Flocking)).Assess();
        Assert.NotEqual(Severity.Out, flocked.Pairings[0].Findings.Single(finding => finding.Key.Measure == Measure.Bridging).Severity);
        Assert.DoesNotContain(flocked.Wanted, want => want.Reasons.Any(reason => reason.Cause == Cause.OutNow));
        var (before, after) = (Bridging.Assess().Pairings[0].Outlook!, flocked.Pairings[0].Outlook!);
        Assert.Equal(Day, before.OutBy50On);
        Assert.True(after.OutToday < .1 && (after.OutBy20On is null || after.OutBy20On > Day.AddDays(7)), $"{after}");
    }

    [Fact]
    public void Assess_bridging_under_a_narrow_tree_wants_a_refit_and_never_flocking()
    {
        var assessment = (Bridging with { Pairings = [TracedHorse.Pairing("a", -5)] }).Assess();
        Assert.Contains(assessment.Pairings[0].Findings, finding => finding is { Severity: Severity.Out, Key.Measure: Measure.Bridging });
        Assert.Contains(assessment.Pairings[0].Findings, finding => finding.IsNarrow);
        Assert.DoesNotContain(assessment.Wanted, ProposesFlocking);
        var refit = assessment.Wanted.Single(want => want.Kind == CheckKind.Refit);
        Assert.DoesNotContain(refit.Reasons, reason => reason.Text.Contains("Flocking", StringComparison.Ordinal));
    }

    [Fact]
    public void Assess_narrow_tree_wants_a_refit_that_names_width_and_angle()
    {
        var assessment = (TracedHorse.Settled with { Pairings = [TracedHorse.Pairing("a", -11)] }).Assess();
        var refit = assessment.Wanted.Single(want => want.Kind == CheckKind.Refit);
        Assert.All(refit.Reasons.Where(reason => reason.Cause == Cause.OutNow), reason => Assert.Contains(reason.Measure, new[] { "width", "angle" }));
        Assert.DoesNotContain(assessment.Wanted, ProposesFlocking);
    }

    [Fact]
    public void Assess_hollow_deeper_than_flocking_can_fill_wants_a_refit()
    {
        var assessment = TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, dipMm: 18 + (3 * i))).Assess();
        Assert.True(assessment.Pairings[0].Findings.Single(finding => finding.Key.Measure == Measure.Bridging).FlockingMm > 10);
        Assert.Contains(assessment.Wanted, want => want.Kind == CheckKind.Refit);
        Assert.DoesNotContain(assessment.Wanted, ProposesFlocking);
    }

    // No unequal left/right flocking before a vet's outcome where a vet-first sign is open.
    [Fact]
    public void Assess_one_sided_finding_under_an_open_vet_first_sign_proposes_no_flocking()
    {
        var facts = TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, asymmetryPct: 1.2 * i));
        Assert.Contains(facts.Assess().Pairings[0].Findings, finding => finding is { Severity: Severity.Out, Key.Measure: Measure.Roll });
        var flocking = facts.Assess().Wanted.Single(want => want.Kind == CheckKind.Flocking);
        Assert.Matches("^Saddle .* Flocking can take it up: left and right about \\d+ mm out of level\\.", flocking.Reasons.Single(reason => reason.Measure == "roll").Text);

        var sore = facts.With(Larkfield.Seen(ObservationKind.OpenSore, Day)).Assess();
        Assert.DoesNotContain(sore.Wanted, want => want.Kind == CheckKind.Flocking);
        Assert.DoesNotContain(sore.Wanted.SelectMany(want => want.Reasons), reason => reason.Text.Contains("Flocking can", StringComparison.Ordinal));
        Assert.Equal(RideAdvice.StopVetFirst, sore.Pairings[0].Advice);
    }

    [Fact]
    public void Assess_flocking_check_done_without_a_change_asks_for_a_measurement_and_not_for_flocking_again()
    {
        var assessment = Bridging.With(Done(CheckKind.Flocking)).Assess();
        Assert.DoesNotContain(assessment.Wanted, want => want.Kind == CheckKind.Refit || ProposesFlocking(want));
        Assert.Contains(assessment.Wanted, want => want.Kind == CheckKind.Remeasure && want.Reasons.Any(reason => reason is { Cause: Cause.OutNow, Measure: "bridging" }));
    }

    [Fact]
    public void Assess_twice_with_the_same_facts_decides_nothing_the_second_time()
    {
        var facts = Bridging;
        facts = facts.Apply(facts.Assess());
        Assert.Empty(facts.Assess().Decisions);
        Assert.Empty(facts.Assess(Day.AddDays(1)).Decisions);
    }

    // A look at the flocking as it ages proposes nothing.
    private static bool ProposesFlocking(WantedCheck want) => want.Kind == CheckKind.Flocking && want.Reasons.Any(reason => reason.Cause == Cause.OutNow);

    private static CheckFact Done(CheckKind kind) =>
        new("done", kind, "a", CheckState.Done, new CheckDays(Day, Day, Day, Day, Urgency.Now), [], null, Day, null);
}
