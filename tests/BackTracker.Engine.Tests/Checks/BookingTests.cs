using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Checks;

public class BookingTests
{
    // 30 August 2026, when the fit check of this horse falls due, is a Sunday.
    private static readonly DateOnly Due = new(2026, 8, 30);

    private static FitterFact Fitter(int lead, params DayOfWeek[] working) => new($"f{lead}", lead, working);

    private static HorseFacts Looked(Closures closed, params FitterFact[] fitters) => Larkfield.Settled
        .With(pairing => pairing with { TreeShapes = [], Fitters = fitters }) with
    { Closed = closed };

    private static CheckDays Days(HorseFacts facts, DateOnly? on = null) => facts.Wanted(CheckKind.Fit, on)!.Days;

    [Fact]
    public void Due_day_is_the_sunday_the_cases_count_from() =>
        Assert.Equal((Due, DayOfWeek.Sunday, Due.AddDays(-35)), (Days(Looked(Closures.None)).DueOn, Due.DayOfWeek, Days(Looked(Closures.None)).BookBy));

    [Theory]
    [InlineData(DayOfWeek.Sunday, 0)]
    [InlineData(DayOfWeek.Saturday, -1)]
    [InlineData(DayOfWeek.Tuesday, -5)]
    [InlineData(DayOfWeek.Monday, -6)]
    public void Fitter_who_works_one_day_a_week_is_booked_for_the_last_such_day(DayOfWeek works, int visit)
    {
        var days = Days(Looked(Closures.None, Fitter(20, works)));
        Assert.Equal((Due, Due.AddDays(visit - 20)), (days.DueOn, days.BookBy));
    }

    [Fact]
    public void Closed_weekdays_and_closed_days_are_passed_over()
    {
        var weekend = new Closures([DayOfWeek.Saturday, DayOfWeek.Sunday], []);
        Assert.Equal(Due.AddDays(-2 - 20), Days(Looked(weekend, Fitter(20))).BookBy);
        Assert.Equal(Due.AddDays(-3 - 20), Days(Looked(weekend with { Days = [Due.AddDays(-2)] }, Fitter(20))).BookBy);
        // The last Tuesday is closed: the one before.
        Assert.Equal(Due.AddDays(-12 - 20), Days(Looked(weekend with { Days = [Due.AddDays(-5)] }, Fitter(20, DayOfWeek.Tuesday))).BookBy);
    }

    [Fact]
    public void Any_of_several_is_booked_early_enough_for_each() =>
        Assert.Equal(Due.AddDays(-5 - 33), Days(Looked(Closures.None, Fitter(35, DayOfWeek.Sunday), Fitter(33, DayOfWeek.Tuesday), Fitter(1))).BookBy);

    [Fact]
    public void Nobody_known_is_booked_by_the_policy_of_the_pairing()
    {
        var facts = Looked(new Closures([DayOfWeek.Sunday], [])).With(pairing => pairing with { OwnPolicy = new PolicyValues(new Dictionary<string, double> { ["bookingLeadDays"] = 10 }) });
        Assert.Equal(Due.AddDays(-1 - 10), Days(facts).BookBy);
    }

    // On Wednesday the last Tuesday before Sunday has passed: whoever comes, comes late, and is to be asked today.
    [Theory]
    [InlineData(-6, -5)]
    [InlineData(-5, -5)]
    [InlineData(-4, -4)]
    [InlineData(0, 0)]
    [InlineData(3, 0)]
    public void Visit_is_never_counted_from_a_day_that_has_passed(int today, int bookBy)
    {
        var days = Days(Looked(Closures.None, Fitter(0, DayOfWeek.Tuesday)), Due.AddDays(today));
        Assert.Equal((Due, Due.AddDays(bookBy)), (days.DueOn, days.BookBy));
    }

    [Fact]
    public void Fitter_who_can_never_come_is_to_be_asked_at_once() =>
        Assert.Equal(Larkfield.Today.AddDays(-20), Days(Looked(new Closures([DayOfWeek.Tuesday], []), Fitter(20, DayOfWeek.Tuesday))).BookBy);

    // Each day on which nobody can come any more moves the last day to book on paper, and is no news.
    [Fact]
    public void Days_that_pass_without_a_visit_revise_nothing_but_the_urgency()
    {
        var facts = Looked(Closures.None, Fitter(0, DayOfWeek.Tuesday));
        for (var on = Due.AddDays(-20); on < Due.AddDays(20); on = on.AddDays(1))
        {
            facts = facts.With(Larkfield.Session($"s{on}", on, 300));
            var assessment = facts.Assess(on);
            Assert.All(assessment.Decisions.OfType<CheckDecision.Revise>(), revise => Assert.Equal("More urgent.", revise.Note));
            facts = facts.Apply(assessment);
        }
        Assert.Equal(Due, facts.Checks.Single(check => check.Kind == CheckKind.Fit).Days.DueOn);
    }
}
