using BackTracker.Engine.Assessments;
using BackTracker.Engine.Simulation;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Simulation;

public class ForecastStudyTests
{
    [Fact]
    public void Of_forecasts_five_times_at_every_horizon_and_the_same_every_time()
    {
        var horse = SimulatedHerd.Horse(4, SimulatedClass.Building, 0, ForecastStudy.LifeDays);
        var trials = ForecastStudy.Of(horse, TrendModel.Shipped);
        Assert.Equal(trials, ForecastStudy.Of(horse, TrendModel.Shipped));
        Assert.All(ForecastStudy.Horizons, ahead => Assert.Equal(5, trials.Count(trial => trial.DaysAhead == ahead)));
    }

    [Fact]
    public void Of_knows_whether_something_happened_shortly_before_and_was_written_down()
    {
        var quiet = SimulatedHerd.Horse(4, SimulatedClass.Maintenance, 0, ForecastStudy.LifeDays);
        Assert.All(ForecastStudy.Of(quiet, TrendModel.Shipped), trial => Assert.Equal(EventNearby.None, trial.Nearby));
        var known = quiet with { Events = [.. Enumerable.Range(1, 11).Select(i => new SimulatedEvent(i * 100, EventKind.Other, true))] };
        Assert.Contains(ForecastStudy.Of(known, TrendModel.Shipped), trial => trial.Nearby == EventNearby.Known);
        var unknown = known with { Events = [.. known.Events.Select(item => item with { IsKnown = false })] };
        Assert.Contains(ForecastStudy.Of(unknown, TrendModel.Shipped), trial => trial.Nearby == EventNearby.Unknown);
    }

    [Fact]
    public void Row_sums_up_what_it_was_given()
    {
        ForecastTrial[][] herd =
        [
            [new(SimulatedClass.Step, 28, EventNearby.None, true, 3, 6), new(SimulatedClass.Step, 28, EventNearby.None, false, -1, 2)],
            [],
            [new(SimulatedClass.Step, 28, EventNearby.None, true, 1, -2)],
        ];
        var row = ForecastRow.Of(herd);
        Assert.Equal((28, 3), (row.DaysAhead, row.Forecasts));
        Assert.Equal(2.0 / 3, row.Cover.Value, 12);
        Assert.Equal(1, row.BiasMm.Value, 12);
        Assert.Equal(Math.Sqrt(11 / 3.0), row.ErrorMm.Value, 12);
        Assert.Equal(Math.Sqrt(44 / 3.0), row.OtherErrorMm.Value, 12);
        Assert.Equal(.5, row.AgainstOther.Value, 12);
    }

    // Bands of 80 % of 60 horses of each class, five forecasts each, far from a guess at the model: no class may fall under two thirds.
    [Fact]
    public void Bands_hold_what_they_promise_on_a_small_herd()
    {
        var trials = SimulatedHerd.Of(11, 20, ForecastStudy.LifeDays).Select(horse => ForecastStudy.Of(horse, TrendModel.Shipped)).ToList();
        var row = ForecastRow.Of(trials.Select(own => own.Where(trial => trial.DaysAhead == 56)));
        Assert.InRange(row.Cover.Value, .72, .90);
        Assert.InRange(row.AgainstOther.Value, .5, 1);
        Assert.InRange(row.BiasMm.Value, -1, 1);
    }
}
