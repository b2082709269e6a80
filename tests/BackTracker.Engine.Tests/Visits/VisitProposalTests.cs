using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Visits;

namespace BackTracker.Engine.Tests.Visits;

public class VisitProposalTests
{
    // A Monday.
    private static readonly DateOnly Today = new(2026, 6, 1);

    private static readonly VisitDays AnyDay = new(Closures.None, []);

    [Fact]
    public void Windows_that_overlap_make_one_visit_and_the_rest_another()
    {
        var proposals = VisitProposal.Of([Check("a", 0, 20, 30), Check("b", 10, 25, 60), Check("c", 100, 120, 140)], AnyDay, Today);

        Assert.Equal(["a b", "c"], proposals.Select(Ids));
        Assert.Equal([Today.AddDays(20), Today.AddDays(120)], proposals.Select(proposal => proposal.On));
    }

    [Fact]
    public void The_day_with_the_most_checks_wins_over_the_day_the_first_is_due()
    {
        var proposal = Assert.Single(VisitProposal.Of([Check("a", 0, 5, 30), Check("b", 28, 40, 60), Check("c", 29, 40, 60)], AnyDay, Today));

        Assert.Equal((Today.AddDays(29), "a b c"), (proposal.On, Ids(proposal)));
        Assert.Equal("3 checks can be done together on 30 June 2026: the first is due on 6 June 2026, the first window closes on 1 July 2026, 1 will be past the due day; book now.", proposal.Text);
    }

    [Fact]
    public void A_visit_is_never_later_than_the_window_that_closes_first_while_somebody_can_come()
    {
        var proposals = VisitProposal.Of([Check("a", 0, 5, 10), .. Enumerable.Range(0, 9).Select(i => Check($"b{i}", 11, 20, 40))], AnyDay, Today);

        Assert.Equal([Today.AddDays(5), Today.AddDays(20)], proposals.Select(proposal => proposal.On));
    }

    [Fact]
    public void Closed_days_and_days_off_are_passed_over()
    {
        var days = new VisitDays(new Closures([DayOfWeek.Monday], [new DateOnly(2026, 6, 9)]), [DayOfWeek.Monday, DayOfWeek.Tuesday]);

        // Due on Tuesday the 9th, which is closed.
        Assert.Equal(new DateOnly(2026, 6, 2), Assert.Single(VisitProposal.Of([Check("a", 0, 8, 10)], days, Today)).On);
    }

    [Fact]
    public void Where_nobody_can_come_in_time_it_is_the_first_day_after()
    {
        var days = AnyDay with { WorkingDays = [DayOfWeek.Friday] };

        var proposal = Assert.Single(VisitProposal.Of([Check("a", 0, 1, 3)], days, Today));

        Assert.Equal(new DateOnly(2026, 6, 5), proposal.On);
        Assert.Contains("the first window closed on 4 June 2026, 1 will be past the due day", proposal.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Overdue_checks_come_along_at_once()
    {
        var proposal = Assert.Single(VisitProposal.Of([Check("a", -60, -40, -20), Check("b", -30, -20, -5), Check("c", -3, 10, 20)], AnyDay, Today));

        Assert.Equal((Today, "a b c"), (proposal.On, Ids(proposal)));
    }

    [Fact]
    public void Where_nobody_ever_comes_nothing_is_proposed() =>
        Assert.Empty(VisitProposal.Of([Check("a", 0, 5, 10), Check("b", 0, 5, 10)], AnyDay with { Closed = new Closures(Enum.GetValues<DayOfWeek>(), []) }, Today));

    [Fact]
    public void Booking_time_is_that_of_the_check_to_be_booked_first()
    {
        var proposal = Assert.Single(VisitProposal.Of([Check("a", 0, 60, 90), Check("b", 0, 50, 90)], AnyDay, Today));

        Assert.Equal(Today.AddDays(15), proposal.BookBy);
        Assert.EndsWith("; book by 16 June 2026.", proposal.Text, StringComparison.Ordinal);
    }

    private static string Ids(VisitProposal proposal) => string.Join(' ', proposal.Checks.Select(check => check.Id));

    private static CheckFact Check(string id, int opens, int due, int closes) => new(
        id, CheckKind.Fit, "p", CheckState.Open,
        new CheckDays(Today.AddDays(opens), Today.AddDays(due - 35), Today.AddDays(due), Today.AddDays(closes), Urgency.Routine), [], null, null, null);
}
