using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Tests.Alerts;

public class TellingTests
{
    private static readonly DateOnly Day = new(2026, 3, 3);
    private static readonly AlertPolicy Policy = new();
    private static readonly Receiver Manager = new("manager", ReceiverRole.YardManager, "p1", []);
    private static readonly Receiver Fitter = new("fitter", ReceiverRole.Fitter, "p2", []);
    private static readonly Receiver Owner = new("owner", ReceiverRole.Owner, "p3", []);
    private static readonly Receiver Vet = new("vet", ReceiverRole.Other, "p4", []);
    private static readonly Receiver[] All = [Manager, Fitter, Owner, Vet];

    [Theory]
    [InlineData(Cause.Risk, Urgency.Routine, "12:00", Verdict.WaitsForDigest, "new, waits for the morning's letter")]
    [InlineData(Cause.Risk, Urgency.Soon, "12:00", Verdict.WaitsForDigest, "new, waits for the morning's letter")]
    [InlineData(Cause.OutNow, Urgency.Now, "12:00", Verdict.Told, "new, at once: before the next ride")]
    [InlineData(Cause.OutNow, Urgency.Now, "20:59", Verdict.Told, "new, at once: before the next ride")]
    [InlineData(Cause.OutNow, Urgency.Now, "21:00", Verdict.WaitsForMorning, "new, waits for the end of the night")]
    [InlineData(Cause.OutNow, Urgency.Now, "06:29", Verdict.WaitsForMorning, "new, waits for the end of the night")]
    [InlineData(Cause.OutNow, Urgency.Now, "06:30", Verdict.Told, "new, at once: before the next ride")]
    [InlineData(Cause.VetFirst, Urgency.Now, "02:00", Verdict.Told, "new, at once: a vet looks first")]
    public void Decide_new_alert_goes_when_its_urgency_and_the_clock_say(Cause cause, Urgency urgency, string time, Verdict verdict, string reason) =>
        Assert.Equal((verdict, reason), Decide(Alert(cause, urgency), Manager, time));

    [Theory]
    [InlineData(Cause.Risk, Urgency.Routine)]
    [InlineData(Cause.OutNow, Urgency.Now)]
    [InlineData(Cause.VetFirst, Urgency.Now)]
    public void Decide_in_the_digest_tells_whatever_waits(Cause cause, Urgency urgency) =>
        Assert.Equal((Verdict.Told, "new, in the morning's letter"), Decide(Alert(cause, urgency), Manager, "07:00", TellOccasion.Digest));

    [Fact]
    public void Decide_told_already_decides_nothing() =>
        Assert.Empty(Telling.Decide(Alert(Cause.Risk, Urgency.Soon), [Manager], new Dictionary<string, long> { ["manager"] = 1 }, [], At("07:00", TellOccasion.Digest), Policy));

    [Theory]
    [InlineData(-1, false, false)]
    [InlineData(0, false, false)]
    [InlineData(1, false, false)]
    [InlineData(2, true, false)]
    [InlineData(4, true, false)]
    [InlineData(5, true, true)]
    public void Decide_overdue_climbs_to_the_fitter_and_then_to_the_owner(int daysOverdue, bool fitter, bool owner)
    {
        var alert = Alert(Cause.Risk, Urgency.Soon) with { OverdueSince = daysOverdue < 0 ? null : Day.AddDays(-daysOverdue) };
        var told = Telling.Decide(alert, All, new Dictionary<string, long>(), [], At("07:00", TellOccasion.Digest), Policy)
            .Where(decision => decision.Verdict == Verdict.Told).Select(decision => decision.ReceiverId);
        Assert.Equal(new[] { "manager" }.Concat(fitter ? ["fitter"] : []).Concat(owner ? ["owner"] : []), told);
    }

    [Theory]
    [InlineData(null, Verdict.NotTold)]
    [InlineData(2, Verdict.Told)]
    public void Decide_saddle_being_made_is_told_to_its_saddler_too_and_climbs_to_the_fitter(int? daysOverdue, Verdict fitter)
    {
        var saddler = new Receiver("saddler", ReceiverRole.Other, "p5", []);
        var alert = Alert(Cause.CommissionRisk, Urgency.Soon, Concern.Commission) with { Comers = ["p5"], OverdueSince = daysOverdue is { } days ? Day.AddDays(-days) : null };
        var decisions = Telling.Decide(alert, [.. All, saddler], new Dictionary<string, long>(), [], At("07:00", TellOccasion.Digest), Policy).ToDictionary(d => d.ReceiverId, d => d.Verdict);
        Assert.Equal((Verdict.Told, Verdict.Told, fitter, Verdict.NotTold), (decisions["manager"], decisions["saddler"], decisions["fitter"], decisions["vet"]));
    }

    [Fact]
    public void Decide_acknowledged_climbs_to_nobody()
    {
        var alert = Alert(Cause.Risk, Urgency.Soon) with { State = AlertState.Acknowledged, OverdueSince = Day.AddDays(-30) };
        Assert.Equal((Verdict.NotTold, "acknowledged: it climbs no further"), Decide(alert, Owner, "07:00", TellOccasion.Digest, All));
        Assert.Equal((Verdict.NotTold, "acknowledged: it climbs no further"), Decide(alert, Fitter, "07:00", TellOccasion.Digest, All));
    }

    [Fact]
    public void Decide_acknowledged_before_its_reminder_went_out_reminds_nobody() => Assert.Equal(
        (Verdict.NotTold, "acknowledged: nobody is reminded of it"),
        Decide(Alert(Cause.Risk, Urgency.Soon) with { State = AlertState.Acknowledged, News = AlertNews.Overdue, Change = 2 }, Manager, "07:00", TellOccasion.Digest, heard: 1));

    [Fact]
    public void Decide_booked_with_a_fitter_is_theirs_and_no_other_fitters()
    {
        var alert = Alert(Cause.Risk, Urgency.Soon) with { Comers = ["p2"], OverdueSince = Day.AddDays(-3) };
        var other = new Receiver("other", ReceiverRole.Fitter, "p9", []);
        Assert.Equal(Verdict.Told, Decide(alert, Fitter, "07:00", TellOccasion.Digest, [.. All, other]).Verdict);
        Assert.Equal((Verdict.NotTold, "told only of what is booked with them"), Decide(alert, other, "07:00", TellOccasion.Digest, [.. All, other]));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Decide_yard_without_lower_steps_tells_the_next_one_first(int missing)
    {
        var decisions = Telling.Decide(Alert(Cause.VetFirst, Urgency.Now), [.. All.Skip(missing)], new Dictionary<string, long>(), [], At("02:00"), Policy);
        Assert.Equal([Verdict.Told, .. Enumerable.Repeat(Verdict.NotTold, All.Length - missing - 1)], decisions.Select(decision => decision.Verdict));
    }

    [Fact]
    public void Decide_address_of_nobody_in_particular_is_told_first() =>
        Assert.Equal(Verdict.Told, Decide(Alert(Cause.OutNow, Urgency.Now), new Receiver("desk", ReceiverRole.YardManager, "", []), "12:00").Verdict);

    [Theory]
    [InlineData(0, Urgency.Soon, "12:00", Verdict.NotTold)]
    [InlineData(1, Urgency.Soon, "12:00", Verdict.WaitsForDigest)]
    [InlineData(1, Urgency.Now, "12:00", Verdict.Told)]
    [InlineData(1, Urgency.Now, "23:00", Verdict.WaitsForDigest)]
    public void Decide_settled_is_told_to_those_who_were_told(long heard, Urgency urgency, string time, Verdict verdict) => Assert.Equal(
        verdict, Decide(Alert(Cause.OutNow, urgency) with { State = AlertState.Settled, News = AlertNews.Settled, Change = 2 }, Manager, time, heard: heard).Verdict);

    [Theory]
    [InlineData("", null, Cause.Risk, true)]
    [InlineData("h1", null, Cause.Risk, true)]
    [InlineData("h2", null, Cause.Risk, false)]
    [InlineData("", Cause.Risk, Cause.Risk, true)]
    [InlineData("", Cause.OutNow, Cause.Risk, false)]
    [InlineData("", null, Cause.VetFirst, false)]
    public void Decide_in_a_quiet_period_tells_nothing_it_covers(string horse, Cause? of, Cause cause, bool quiet)
    {
        var period = new QuietPeriod(horse, of, new DateOnly(2026, 3, 10), "horse away.");
        var decision = Assert.Single(Telling.Decide(Alert(cause, Urgency.Now), [Manager], new Dictionary<string, long>(), [period], At("12:00"), Policy));
        Assert.Equal(quiet ? Verdict.Quiet : Verdict.Told, decision.Verdict);
        if (quiet)
            Assert.Equal("quiet until 10 March 2026, horse away", decision.Reason);
    }

    [Theory]
    [InlineData(7, Verdict.Quiet)]
    [InlineData(8, Verdict.Told)]
    public void Decide_quiet_period_ends_with_its_last_day(int days, Verdict verdict)
    {
        var period = new QuietPeriod("", null, Day.AddDays(7), "away");
        Assert.Equal(verdict, Assert.Single(Telling.Decide(
            Alert(Cause.Risk, Urgency.Soon), [Manager], new Dictionary<string, long>(), [period], new Moment(Day.AddDays(days), new TimeOnly(7, 0), TellOccasion.Digest), Policy)).Verdict);
    }

    [Fact]
    public void Decide_vet_first_sign_that_the_first_step_leaves_out_goes_to_the_next_at_once()
    {
        Receiver[] yard = [Manager with { Events = ["backtracker.check.opened.v1"] }, Fitter, Owner];
        Assert.Equal(Verdict.NotTold, Decide(Alert(Cause.VetFirst, Urgency.Now), yard[0], "02:00", all: yard).Verdict);
        Assert.Equal((Verdict.Told, "new, at once: a vet looks first"), Decide(Alert(Cause.VetFirst, Urgency.Now), Fitter, "02:00", all: yard));
        Assert.Equal(Verdict.NotTold, Decide(Alert(Cause.VetFirst, Urgency.Now), Owner, "02:00", all: yard).Verdict);
    }

    [Theory]
    [InlineData(AlertState.Raised)]
    [InlineData(AlertState.Acknowledged)]
    public void Decide_vet_first_sign_that_everybody_leaves_out_goes_to_the_first_all_the_same(AlertState state)
    {
        Receiver[] yard = [Manager with { Events = ["backtracker.check.closed.v1"] }, Owner with { Events = ["backtracker.check.opened.v1"] }];
        Assert.Equal(Verdict.Told, Decide(Alert(Cause.VetFirst, Urgency.Now) with { State = state }, yard[0], "02:00", all: yard).Verdict);
    }

    [Theory]
    [InlineData(Cause.VetFirst)]
    [InlineData(Cause.OutNow)]
    public void Decide_where_letters_to_the_first_step_do_not_arrive_the_next_hears_too(Cause cause)
    {
        Receiver[] yard = [Manager with { Mailbox = Mailbox.Refuses }, Fitter, Owner];
        Assert.Equal(Verdict.Told, Decide(Alert(cause, Urgency.Now), Fitter, "12:00", all: yard).Verdict);
        Assert.Equal(Verdict.Told, Decide(Alert(cause, Urgency.Now), yard[0], "12:00", all: yard).Verdict);
        Assert.Equal(Verdict.NotTold, Decide(Alert(cause, Urgency.Now), Owner, "12:00", all: yard).Verdict);
    }

    [Theory]
    [InlineData(null, true)]
    [InlineData(-1, true)]
    [InlineData(0, false)]
    public void Decide_vet_first_sign_acknowledged_climbs_until_a_vet_is_booked(int? bookedInDays, bool climbs)
    {
        var alert = Alert(Cause.VetFirst, Urgency.Now);
        alert = alert with
        {
            State = AlertState.Acknowledged,
            OverdueSince = Day.AddDays(-2),
            Problem = alert.Problem with { BookedOn = bookedInDays is { } days ? Day.AddDays(days) : null },
        };
        Assert.Equal(climbs ? Verdict.Told : Verdict.NotTold, Decide(alert, Fitter, "07:00", TellOccasion.Digest, All).Verdict);
        Assert.Equal(climbs ? Verdict.Told : Verdict.NotTold, Decide(alert with { News = AlertNews.Overdue, Change = 2 }, Manager, "07:00", TellOccasion.Digest, All, heard: 1).Verdict);
    }

    [Theory]
    [InlineData(AlertNews.Overdue, "backtracker.check.overdue.v1")]
    [InlineData(AlertNews.Changed, "backtracker.check.moved.v1")]
    [InlineData(AlertNews.Settled, "backtracker.check.closed.v1")]
    public void Decide_subscription_to_later_news_alone_is_told_of_that(AlertNews news, string type)
    {
        var chosen = Manager with { Events = [type] };
        Assert.Equal(Verdict.NotTold, Decide(Alert(Cause.Risk, Urgency.Soon), chosen, "07:00", TellOccasion.Digest).Verdict);
        var later = Alert(Cause.Risk, Urgency.Soon) with { News = news, Change = 2, State = news == AlertNews.Settled ? AlertState.Settled : AlertState.Raised };
        var decision = Assert.Single(Telling.Decide(later, [chosen], new Dictionary<string, long>(), [], At("07:00", TellOccasion.Digest), Policy));
        Assert.Equal((Verdict.Told, news), (decision.Verdict, decision.News));
    }

    [Fact]
    public void Letters_can_carry_the_types_of_all_news_and_of_the_week() => Assert.Equal(
        EventTypes.InLetters.Order(StringComparer.Ordinal),
        (from concern in Enum.GetValues<Concern>()
         from cause in Enum.GetValues<Cause>()
         from news in Enum.GetValues<AlertNews>()
         select EventTypes.Of(new ProblemKey(concern, cause, null, null, null, null), news))
        .Append(EventTypes.CheckBooked).Distinct().Order(StringComparer.Ordinal));

    [Theory]
    [InlineData(Concern.Check, Cause.VetFirst, AlertNews.Raised, "backtracker.observation.vet-first.v1")]
    [InlineData(Concern.Check, Cause.VetFirst, AlertNews.Settled, "backtracker.check.closed.v1")]
    [InlineData(Concern.Check, Cause.OutNow, AlertNews.Raised, "backtracker.fit.out-of-tolerance.v1")]
    [InlineData(Concern.Check, Cause.OutNow, AlertNews.Changed, "backtracker.check.moved.v1")]
    [InlineData(Concern.Check, Cause.OutNow, AlertNews.Settled, "backtracker.fit.restored.v1")]
    [InlineData(Concern.Check, Cause.Risk, AlertNews.Raised, "backtracker.check.opened.v1")]
    [InlineData(Concern.Check, Cause.Risk, AlertNews.Changed, "backtracker.check.moved.v1")]
    [InlineData(Concern.Check, Cause.Risk, AlertNews.Overdue, "backtracker.check.overdue.v1")]
    [InlineData(Concern.Check, Cause.Risk, AlertNews.Settled, "backtracker.check.closed.v1")]
    [InlineData(Concern.Booking, Cause.OutNow, AlertNews.Raised, "backtracker.check.moved.v1")]
    [InlineData(Concern.Booking, Cause.Risk, AlertNews.Settled, "backtracker.check.closed.v1")]
    [InlineData(Concern.Commission, Cause.CommissionRisk, AlertNews.Raised, "backtracker.commission.at-risk.v1")]
    [InlineData(Concern.Commission, Cause.CommissionRisk, AlertNews.Overdue, "backtracker.commission.at-risk.v1")]
    [InlineData(Concern.Commission, Cause.CommissionRisk, AlertNews.Settled, "backtracker.commission.at-risk.v1")]
    public void Decide_subscription_that_chooses_is_told_of_those_types_only(Concern concern, Cause cause, AlertNews news, string type)
    {
        var alert = Alert(cause, Urgency.Soon, concern) with { News = news, Change = 2, State = news == AlertNews.Settled ? AlertState.Settled : AlertState.Raised };
        Verdict Of(params string[] events) => Decide(alert, Manager with { Events = events }, "07:00", TellOccasion.Digest, heard: news == AlertNews.Raised ? 0 : 1).Verdict;
        Assert.Equal(Verdict.Told, Of(type));
        Assert.Equal(cause == Cause.VetFirst && news == AlertNews.Raised ? Verdict.Told : Verdict.NotTold, Of("backtracker.measurement.recorded.v1"));
        Assert.Equal(Verdict.Told, Of());
    }

    [Fact]
    public void Night_from_and_to_the_same_is_no_night() =>
        Assert.False(new AlertPolicy { NightFrom = new(0, 0), NightTo = new(0, 0) }.IsNight(new TimeOnly(3, 0)));

    internal static AlertToTell Alert(Cause cause, Urgency urgency, Concern concern = Concern.Check) => new(
        "h1", AlertState.Raised, new Problem(new ProblemKey(concern, cause, "a", null, null, null), CheckKind.Fit, "c1", "Something.", urgency, Day, Day.AddDays(3), null),
        AlertNews.Raised, 1, null, []);

    private static (Verdict Verdict, string Reason) Decide(
        AlertToTell alert, Receiver receiver, string time, TellOccasion occasion = TellOccasion.AtOnce, IReadOnlyList<Receiver>? all = null, long heard = 0)
    {
        var decision = Telling.Decide(alert, all ?? [receiver], new Dictionary<string, long> { [receiver.Id] = heard }, [], At(time, occasion), Policy).Single(d => d.ReceiverId == receiver.Id);
        return (decision.Verdict, decision.Reason);
    }

    private static Moment At(string time, TellOccasion occasion = TellOccasion.AtOnce) => new(Day, TimeOnly.Parse(time, System.Globalization.CultureInfo.InvariantCulture), occasion);
}
