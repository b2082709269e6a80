using BackTracker.Engine.Alerts;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Alerts;

public class AlertLifeTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    private static KeptAlerts With(ObservationKind kind) => new(Larkfield.Settled.With(Larkfield.Seen(kind, Day)), Day);

    [Fact]
    public void Decide_settled_horse_raises_nothing() => Assert.Empty(new KeptAlerts(Larkfield.Settled, Day).Assess());

    [Fact]
    public void Decide_rub_is_one_alert_before_the_next_ride()
    {
        var raise = Assert.IsType<AlertChange.Raise>(Assert.Single(With(ObservationKind.Rub).Assess()));
        Assert.Equal(new ProblemKey(Concern.Check, Cause.SaddleSign, "a", "Rub", null, null), raise.Problem.Key);
        Assert.Equal(Urgency.Now, raise.Problem.Urgency);
    }

    [Fact]
    public void Decide_vet_first_sign_is_one_alert_of_the_horse_whatever_it_wears()
    {
        var horse = new KeptAlerts((Larkfield.Settled with { Pairings = [Larkfield.Pairing("a", 302), Larkfield.Pairing("b", 302)] }).With(Larkfield.Seen(ObservationKind.OpenSore, Day)), Day);
        var problem = Assert.IsType<AlertChange.Raise>(Assert.Single(horse.Assess())).Problem;
        Assert.Equal((null, "OpenSore", Urgency.Now), (problem.Key.PairingId, problem.Key.Measure, problem.Urgency));
        Assert.Equal("Open sore seen on 1 June 2026: stop using the saddle, a vet looks first.", problem.Text);
    }

    [Fact]
    public void Decide_same_sign_seen_a_hundred_times_is_one_alert()
    {
        var horse = With(ObservationKind.Rub);
        horse.Assess();
        for (var i = 0; i < 100; i++)
        {
            horse.Facts = horse.Facts.With(Larkfield.Seen(ObservationKind.Rub, Day) with { Id = $"again-{i}" });
            Assert.DoesNotContain(horse.Assess(), change => change is not AlertChange.Refresh);
        }
        Assert.Single(horse.Open);
    }

    [Fact]
    public void Decide_vet_looked_settles_with_the_day()
    {
        var horse = With(ObservationKind.OpenSore);
        horse.Assess();
        horse.Facts = horse.Facts with { Observations = [horse.Facts.Observations[0] with { Outcome = new OutcomeFact(Day, OutcomeRole.Vet) }] };
        Assert.Equal("Seen by the vet on 1 June 2026.", Assert.Single(horse.Assess().OfType<AlertChange.Settle>()).Why);
    }

    [Fact]
    public void Decide_check_done_settles_and_the_same_sign_seen_later_is_a_new_episode()
    {
        var horse = With(ObservationKind.Rub);
        horse.Assess();
        var first = horse.Open[0];
        horse.Facts = horse.Facts with { Checks = [horse.Facts.Checks[0] with { State = CheckState.Done, DoneOn = Day }] };
        Assert.Equal("Fit check done on 1 June 2026.", Assert.Single(horse.Assess().OfType<AlertChange.Settle>()).Why);

        horse.Today = Day.AddDays(3);
        horse.Facts = horse.Facts with { Observations = [Larkfield.Seen(ObservationKind.Rub, horse.Today) with { Id = "new" }] };
        Assert.Contains(horse.Assess(), change => change is AlertChange.Raise raise && raise.Problem.Key == first.Problem.Key);
    }

    [Fact]
    public void Decide_finding_back_in_tolerance_settles_though_the_visit_stays_booked()
    {
        var horse = new KeptAlerts(Larkfield.Settled.WithTree(280), Day);
        horse.Assess();
        var alert = Assert.Single(horse.Open, open => open.Problem.Key.Cause == Cause.OutNow);
        horse.Facts = (horse.Facts with { Checks = [.. horse.Facts.Checks.Select(check => check with { State = CheckState.Booked, BookedOn = Day.AddDays(2) })] }).WithTree(302);
        Assert.Equal("Within tolerance again.", Assert.Single(horse.Assess().OfType<AlertChange.Settle>(), settle => settle.AlertId == alert.Id).Why);
    }

    [Fact]
    public void Decide_tree_no_longer_known_settles_nothing_while_the_visit_is_booked()
    {
        var horse = new KeptAlerts(Larkfield.Settled.WithTree(280), Day);
        horse.Assess();
        horse.Facts = horse.Facts with
        {
            Checks = [.. horse.Facts.Checks.Select(check => check with { State = CheckState.Booked, BookedOn = Day.AddDays(2) })],
            Pairings = [horse.Facts.Pairings[0] with { TreeShapes = [] }],
        };
        Assert.DoesNotContain(horse.Assess(), change => change is AlertChange.Settle);
    }

    [Theory]
    [InlineData(HorseStatus.Sold, "Bramble is sold.")]
    [InlineData(HorseStatus.Retired, "Bramble is retired.")]
    [InlineData(HorseStatus.Died, "Bramble is dead.")]
    public void Decide_horse_not_looked_after_settles_everything_with_that_reason(HorseStatus status, string why)
    {
        var horse = new KeptAlerts(Larkfield.Settled.WithTree(280).With(Larkfield.Seen(ObservationKind.OpenSore, Day)), Day);
        horse.Assess();
        var open = horse.Open.Count;
        horse.Facts = horse.Facts with { Status = status };
        Assert.Equal(Enumerable.Repeat(why, open), horse.Assess().Select(change => Assert.IsType<AlertChange.Settle>(change).Why));
    }

    [Fact]
    public void Decide_horse_in_another_yard_settles_there_and_raises_here()
    {
        var horse = With(ObservationKind.OpenSore);
        horse.Assess();
        horse.YardId = "other";
        Assert.Collection(horse.Assess(),
            there => Assert.Equal("Bramble has moved to another yard.", Assert.IsType<AlertChange.Settle>(there).Why),
            here => Assert.IsType<AlertChange.Raise>(here));
    }

    [Theory]
    [InlineData(0, AlertState.Raised, null)]
    [InlineData(1, AlertState.Raised, "Its day passed on 1 June 2026.")]
    [InlineData(1, AlertState.Acknowledged, null)]
    public void Decide_day_passes_is_overdue_once_unless_acknowledged(int days, AlertState state, string? note)
    {
        var horse = With(ObservationKind.Rub);
        horse.Assess();
        if (state == AlertState.Acknowledged)
            horse.Acknowledge(horse.Open[0].Id);
        horse.Today = Day.AddDays(days);
        var reports = horse.Assess().OfType<AlertChange.Report>().ToList();
        Assert.Equal(note is null ? [] : new[] { (AlertNews.Overdue, note) }, reports.Select(report => (report.News, report.Note)));
        horse.Today = Day.AddDays(9);
        Assert.Equal(note is null && state == AlertState.Raised, horse.Assess().OfType<AlertChange.Report>().Any());
    }

    [Fact]
    public void Decide_vet_first_sign_is_overdue_though_acknowledged_unless_a_vet_is_booked()
    {
        var (called, booked) = (With(ObservationKind.OpenSore), With(ObservationKind.OpenSore));
        foreach (var horse in new[] { called, booked })
        {
            horse.Assess();
            horse.Acknowledge(horse.Open[0].Id);
        }
        booked.Facts = booked.Facts with { Checks = [.. booked.Facts.Checks.Select(check => check with { State = CheckState.Booked, BookedOn = Day.AddDays(2) })] };
        booked.Assess();

        called.Today = booked.Today = Day.AddDays(1);
        Assert.Equal(AlertNews.Overdue, Assert.Single(called.Assess().OfType<AlertChange.Report>()).News);
        Assert.DoesNotContain(booked.Assess(), change => change is AlertChange.Report);

        booked.Today = Day.AddDays(3); // And did not come.
        Assert.Equal(AlertNews.Overdue, Assert.Single(booked.Assess().OfType<AlertChange.Report>()).News);
    }

    [Fact]
    public void Decide_acknowledged_and_not_seen_to_for_two_weeks_is_raised_again()
    {
        var horse = With(ObservationKind.Rub);
        horse.Assess();
        horse.Today = Day.AddDays(5);
        horse.Assess();
        horse.Acknowledge(horse.Open[0].Id);
        horse.Today = Day.AddDays(18);
        Assert.DoesNotContain(horse.Assess(), change => change is AlertChange.Reopen or AlertChange.Report);

        horse.Today = Day.AddDays(19);
        var changes = horse.Assess();
        Assert.Equal(horse.Open[0].Id, Assert.Single(changes.OfType<AlertChange.Reopen>()).AlertId);
        Assert.Equal(AlertNews.Overdue, Assert.Single(changes.OfType<AlertChange.Report>()).News);
        Assert.Equal(AlertState.Raised, horse.Open[0].State);
    }

    [Fact]
    public void Decide_acknowledged_and_more_urgent_since_is_raised_again()
    {
        var horse = Routine(70);
        horse.Assess();
        var alert = Assert.Single(horse.Open, open => open.Problem.Key.Cause == Cause.FitCheckAge);
        horse.Acknowledge(alert.Id);
        horse.Today = Day.AddDays(60);
        var changes = horse.Assess();
        Assert.Contains(new AlertChange.Reopen(alert.Id), changes);
        Assert.Contains(changes, change => change is AlertChange.Report { News: AlertNews.Changed } report && report.AlertId == alert.Id);
    }

    [Theory]
    [InlineData(ObservationKind.OpenSore, Cause.VetFirst)]
    [InlineData(ObservationKind.Rub, Cause.SaddleSign)]
    public void Decide_same_kind_of_sign_at_another_place_is_another_alert(ObservationKind kind, Cause cause)
    {
        var left = Larkfield.Seen(kind, Day) with { Station = Station.Of(13), Side = Side.Left };
        var horse = new KeptAlerts(Larkfield.Settled.With(left), Day);
        horse.Assess();
        horse.Acknowledge(horse.Open[0].Id);
        horse.Facts = horse.Facts.With(left with { Id = "other", Side = Side.Right });
        var raise = Assert.Single(horse.Assess().OfType<AlertChange.Raise>());
        Assert.Equal((cause, "T13", Side.Right), (raise.Problem.Key.Cause, raise.Problem.Key.Station, raise.Problem.Key.Side));
        if (cause == Cause.VetFirst)
            Assert.Equal("Open sore at T13 on the right seen on 1 June 2026: stop using the saddle, a vet looks first.", raise.Problem.Text);
    }

    [Fact]
    public void Decide_vet_looked_at_one_place_settles_that_place_only()
    {
        var left = Larkfield.Seen(ObservationKind.OpenSore, Day) with { Station = Station.Of(13), Side = Side.Left };
        var horse = new KeptAlerts(Larkfield.Settled.With(left).With(left with { Id = "other", Side = Side.Right }), Day);
        horse.Assess();
        horse.Facts = horse.Facts with { Observations = [.. horse.Facts.Observations.Select(seen => seen.Id == "other" ? seen with { Outcome = new OutcomeFact(Day, OutcomeRole.Vet) } : seen)] };
        var settle = Assert.Single(horse.Assess().OfType<AlertChange.Settle>());
        Assert.Equal("Seen by the vet on 1 June 2026.", settle.Why);
        Assert.Equal(Side.Left, Assert.Single(horse.Open, open => open.Problem.IsVetFirst).Problem.Key.Side);
    }

    [Fact]
    public void Cause_each_has_words_of_its_own()
    {
        var words = Enum.GetValues<Cause>().Select(AlertWords.Of).ToList();
        Assert.Distinct(words);
        Assert.DoesNotContain(words, word => Enum.TryParse<Cause>(word, out _));
        Assert.Throws<ArgumentOutOfRangeException>(() => AlertWords.Of((Cause)(-1)));
    }

    [Theory]
    [InlineData(Cause.BeddingIn)]
    [InlineData(Cause.FlockingAge)]
    [InlineData(Cause.FitCheckAge)]
    public void Decide_passing_of_time_on_an_urgent_check_is_soon(Cause cause)
    {
        var check = new CheckFact("c1", CheckKind.Fit, "a", CheckState.Open, new CheckDays(Day, Day, Day, Day, Urgency.Now),
            [new Reason(cause, "Time.", Day, null, null, null, null, null)], null, null, null);
        var facts = Larkfield.Settled with { Checks = [check] };
        var problem = Assert.Single(Problems.Of(facts, facts.Assess(Day), [], Larkfield.Policy), problem => problem.Key.Cause == cause);
        Assert.Equal(Urgency.Soon, problem.Urgency);
    }

    [Theory]
    [InlineData(CheckKind.Fit, Cause.SaddleSign, "Bring the visit forward, or leave the saddle off until then.")]
    [InlineData(CheckKind.Remeasure, Cause.MeasurementAge, "Measure sooner.")]
    [InlineData(CheckKind.Vet, Cause.VetFirst, "Stop using the saddle. A vet must come sooner.")]
    public void Decide_overtaken_booking_says_what_can_be_done(CheckKind kind, Cause cause, string words)
    {
        var (late, pairing) = (Day.AddDays(20), kind == CheckKind.Fit ? "a" : null);
        var check = new CheckFact("c1", kind, pairing, CheckState.Booked, new CheckDays(late, late, late, late, Urgency.Routine),
            [new Reason(cause, "Something.", Day, null, null, null, null, null)], late, null, null);
        var facts = Larkfield.Settled with { Checks = [check] };
        var assessment = facts.Assess(Day) with
        {
            Wanted = [new WantedCheck(kind, pairing, new CheckDays(Day, Day, Day, Day, Urgency.Now), Day, check.Reasons)],
        };
        var problem = Assert.Single(Problems.Of(facts, assessment, [], Larkfield.Policy), problem => problem.Key.Concern == Concern.Booking);
        Assert.EndsWith($"). {words}", problem.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Decide_overdue_and_more_urgent_at_once_is_told_as_more_urgent()
    {
        var horse = Routine(70);
        horse.Assess();
        horse.Today = Day.AddDays(75); // After downtime.
        var report = Assert.Single(horse.Assess().OfType<AlertChange.Report>(), report => report.Problem.Key.Cause == Cause.FitCheckAge);
        Assert.Equal((AlertNews.Changed, "More urgent: book now. Its day passed on 10 August 2026."), (report.News, report.Note));
        Assert.Equal(new DateOnly(2026, 8, 11), report.OverdueSince);
    }

    [Fact]
    public void Decide_booking_is_no_news_but_its_falling_through_is()
    {
        var horse = With(ObservationKind.Rub);
        horse.Assess();
        Book(horse, Day.AddDays(1));
        Assert.All(horse.Assess(), change => Assert.IsType<AlertChange.Refresh>(change));
        horse.Facts = horse.Facts with { Checks = [horse.Facts.Checks[0] with { State = CheckState.Open, BookedOn = null }] };
        Assert.Equal("The visit on 2 June 2026 fell through.", Assert.IsType<AlertChange.Report>(Assert.Single(horse.Assess())).Note);
    }

    [Fact]
    public void Decide_sign_seen_after_booking_tells_that_the_booking_is_too_late_until_it_is_early_enough()
    {
        var horse = Routine();
        horse.Assess();
        Book(horse, Day.AddDays(20));
        horse.Assess();
        horse.Facts = horse.Facts.With(Larkfield.Seen(ObservationKind.Rub, Day));
        var raise = Assert.Single(horse.Assess().OfType<AlertChange.Raise>(), raise => raise.Problem.Key.Concern == Concern.Booking);
        Assert.StartsWith("Booked for 21 June 2026, but wanted by 1 June 2026 now (sign under saddle).", raise.Problem.Text, StringComparison.Ordinal);

        horse.Today = Day.AddDays(10);
        Assert.Contains(horse.Assess(), change => change is AlertChange.Report { News: AlertNews.Overdue });
        Assert.Equal(Day, Assert.Single(horse.Open, alert => alert.Problem.Key.Concern == Concern.Booking).Problem.DueOn);
        Book(horse, Day);
        Assert.Equal("The visit on 1 June 2026 is early enough now.", Assert.Single(horse.Assess().OfType<AlertChange.Settle>()).Why);
    }

    [Fact]
    public void Decide_booking_made_after_the_day_it_was_due_is_nobodys_surprise()
    {
        var horse = With(ObservationKind.Rub);
        horse.Assess();
        Book(horse, Day.AddDays(2));
        Assert.DoesNotContain(horse.Assess(), change => change is AlertChange.Raise);
    }

    [Fact]
    public void Decide_time_since_the_last_check_is_never_before_the_next_ride()
    {
        var horse = Routine();
        horse.Assess();
        horse.Facts = horse.Facts.With(Larkfield.Seen(ObservationKind.Rub, Day));
        horse.Assess();
        Assert.Equal(Urgency.Soon, Assert.Single(horse.Open, alert => alert.Problem.Key.Cause == Cause.FitCheckAge).Problem.Urgency);
        Assert.Equal(Urgency.Now, Assert.Single(horse.Open, alert => alert.Problem.Key.Cause == Cause.SaddleSign).Problem.Urgency);
    }

    /// <summary>A horse whose fit check is due in so many days.</summary>
    private static KeptAlerts Routine(int dueInDays = 28)
    {
        var (pairing, from) = (Larkfield.Pairing("a", 302), Day.AddDays(dueInDays - (26 * 7)));
        return new(Larkfield.Settled with { Pairings = [pairing with { From = from, TreeShapes = [pairing.TreeShapes[0] with { From = from }] }] }, Day);
    }

    private static void Book(KeptAlerts horse, DateOnly on) => horse.Facts = horse.Facts with
    {
        Checks = [.. horse.Facts.Checks.Select(check => check.Kind == CheckKind.Fit ? check with { State = CheckState.Booked, BookedOn = on } : check)],
    };
}
