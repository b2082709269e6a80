using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Checks;

public class FlockingCheckTests
{
    /// <summary>The topline of the traced horse fell by so much at its last two sessions, so that the saddle bridges.</summary>
    private static HorseFacts Hollowed(double mm) => TracedHorse.Settled with
    {
        Sessions =
        [
            .. TracedHorse.Settled.Sessions,
            .. new[] { -6, -5, -4, -3 }.Select(day => TracedHorse.Session($"h{day}", Larkfield.Today.AddDays(day), dipMm: 18 + mm)),
        ],
        Events = [new EventFact("e", Larkfield.Today.AddDays(-20), EventKind.Other)],
    };

    [Fact]
    public void Assess_bridging_of_a_ridden_horse_asks_for_flocking_though_a_fit_check_lies_months_ahead()
    {
        var assessment = Hollowed(12).Assess();

        var flocking = Assert.Single(assessment.Wanted, check => check.Kind == CheckKind.Flocking);
        Assert.Equal(["bridging"], flocking.Reasons.Select(reason => reason.Measure));
        Assert.True(assessment.Wanted.Single(check => check.Kind == CheckKind.Fit).NoticeOn > Larkfield.Today);
    }

    [Fact]
    public void Assess_bridging_while_a_fit_check_is_asked_for_joins_it()
    {
        var facts = Hollowed(12);
        var soon = facts with { Pairings = [facts.Pairings[0] with { From = new DateOnly(2025, 12, 1) }] };

        Assert.Contains(soon.Wanted(CheckKind.Fit)!.Reasons, reason => reason.Cause == Cause.OutNow);
        Assert.Null(soon.Wanted(CheckKind.Flocking));
    }
}
