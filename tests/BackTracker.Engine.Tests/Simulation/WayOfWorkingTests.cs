using BackTracker.Engine.Checks;
using BackTracker.Engine.Simulation;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Simulation;

public class WayOfWorkingTests
{
    private static readonly SimulatedWorld World = new(8, 35, 0, 728);
    private static readonly CheckPolicy Policy = new() { TreeMeasureSdMm = 0 };

    private static SimulatedHorse Horse(Func<int, double> widthMm) =>
        new(1, 0, SimulatedClass.Maintenance, [.. Enumerable.Range(0, World.LifeDays).Select(widthMm)], [], 0);

    private static LifeTally Live(WayOfWorking way, SimulatedHorse horse) => way.Live(horse, World, TrendModel.Shipped);

    [Theory]
    [InlineData(8, 12)]
    [InlineData(12, 8)]
    [InlineData(16, 6)]
    [InlineData(26, 3)]
    public void Calendar_makes_as_many_visits_as_its_weeks_go_into_the_days(int weeks, int visits)
    {
        var life = Live(new CalendarWay(weeks), Horse(_ => 300));
        Assert.Equal((visits, 0, 728), (life.Visits, life.Measurements, life.Days));
        Assert.Equal(visits, 727 / (weeks * 7));
    }

    [Fact]
    public void Calendar_comes_six_weeks_after_a_known_event_and_counts_anew()
    {
        var known = Horse(_ => 300) with { Events = [new(100, Engine.Assessments.EventKind.StartOfWork, true)] };
        var unknown = known with { Events = [new(100, Engine.Assessments.EventKind.StartOfWork, false)] };
        var way = new CalendarAndEventsWay(12, 6);
        // Days 126, 142, then every 84 from there on, up to day 769.
        Assert.Equal(2 + ((769 - 142) / 84), Live(way, known).Visits);
        Assert.Equal((769 - 42) / 84, Live(way, unknown).Visits);
    }

    [Fact]
    public void Horse_that_never_changes_is_never_out_whoever_is_called()
    {
        foreach (var way in YardYears.Ways(Policy))
            Assert.Equal(0, Live(way, Horse(_ => 300)).DaysOut);
    }

    [Fact]
    public void Days_out_of_a_ramp_are_those_that_arithmetic_says()
    {
        // Nobody comes within two years: one millimetre every twenty days from the day of fitting on.
        var horse = Horse(day => 300 + (Math.Max(0, day - SimulatedWorld.Start) / 20.0));
        var life = new SimulatedLife(horse, World, TrendModel.Shipped);
        var off = life.TreeMm - 300;
        var firstOut = SimulatedWorld.Start + (int)Math.Floor((8 + off) * 20) + 1;
        Assert.InRange(off, -3, 3);
        Assert.Equal(World.LifeDays - firstOut, Live(new CalendarWay(200), horse).DaysOut);
    }

    [Fact]
    public void Reactive_yard_measures_every_four_weeks_and_calls_nobody_to_a_horse_that_never_changes()
    {
        var life = Live(new ReactiveWay(4), Horse(_ => 300));
        Assert.Equal((0, 727 / 28), (life.Visits, life.Measurements));
    }

    [Fact]
    public void Reactive_yard_books_once_it_is_out_and_waits_for_the_fitter()
    {
        // A jump of 12 mm on day 120: the two sessions after it are of days 126 and 154.
        var life = Live(new ReactiveWay(4), Horse(day => day < 120 ? 300 : 312));
        Assert.InRange(life.DaysOut, (126 + 35) - 120, (182 + 35) - 120);
        Assert.InRange(life.Visits, 1, 2);
    }

    [Fact]
    public void Policy_measures_a_horse_that_never_changes_every_four_weeks_and_calls_the_fitter_twice_a_year()
    {
        var life = Live(new PolicyWay("policy", Policy), Horse(_ => 300));
        Assert.InRange(life.Visits, 3, 4);
        Assert.InRange(life.Measurements, 20, 26);
    }

    // A jump of 12 mm is seen at the second session after it at the latest, and the fitter comes five weeks after that.
    [Fact]
    public void Policy_books_the_fitter_when_the_back_has_jumped()
    {
        var life = Live(new PolicyWay("policy", Policy), Horse(day => day < 120 ? 300 : 312));
        Assert.InRange(life.DaysOut, 35, 28 + 28 + 35 + 1);
    }

    [Fact]
    public void Policy_lets_a_steady_ramp_out_for_fewer_days_than_calling_when_it_is_out()
    {
        var ramp = Horse(day => 300 + (day / 14.0));
        var (policy, reactive) = (Live(new PolicyWay("policy", Policy), ramp), Live(new ReactiveWay(4), ramp));
        Assert.InRange(policy.DaysOut, 0, reactive.DaysOut / 2);
    }

    [Fact]
    public void Lives_are_the_same_every_time_and_in_any_order()
    {
        WayOfWorking[] ways = [new PolicyWay("policy", new CheckPolicy()), new ReactiveWay(4), new CalendarWay(26)];
        var world = SimulatedWorld.Usual(1);
        SimulatedHorse[] herd = [.. SimulatedHerd.Of(3, 1, world.LifeDays)];
        var once = ways.SelectMany(way => herd.Select(horse => way.Live(horse, world, TrendModel.Shipped))).ToList();
        var again = ways.Reverse().SelectMany(way => herd.Reverse().Select(horse => way.Live(horse, world, TrendModel.Shipped))).Reverse().ToList();
        Assert.Equal(once, again);
    }

    [Fact]
    public void Aim_is_met_by_few_days_and_few_visits_alone()
    {
        var aim = new YardAim("w", .25, 1);
        Assert.True(aim.IsMetBy(Row(.25, 1)));
        Assert.False(aim.IsMetBy(Row(.26, 1)));
        Assert.False(aim.IsMetBy(Row(.25, 1.01)));

        static YardYearsRow Row(double days, double visits) => new("w", default, default, default, new Estimate(days, 0, 9), new Estimate(visits, 0, 9));
    }
}
