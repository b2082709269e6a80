using BackTracker.Engine.Checks;
using BackTracker.Engine.Simulation;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Simulation;

public class MadeToMeasureStudyTests
{
    private static readonly SimulatedWorld Exact = SimulatedWorld.Usual(1) with { TreeSdMm = 0 };

    // Closed form: a back that never changes fits a tree cut to it for as long as it is followed, made either way.
    [Fact]
    public void Of_horse_that_never_changes_fits_both_ways_all_the_while()
    {
        var made = Of(_ => 300);
        Assert.Equal(new MadeSaddle(true, MadeToMeasureStudy.FollowedDays), made.AsMeasured);
        Assert.Equal(new MadeSaddle(true, MadeToMeasureStudy.FollowedDays), made.AsExpected);
    }

    // Arithmetic: measured at its widest, 305 mm, and half a year later 295: out by 10 of a band of 8 mm. Made for the year to come it need not be.
    [Fact]
    public void Of_horse_that_swings_with_the_season_lasts_longer_where_it_is_made_for_what_comes()
    {
        var made = Of(day => 300 + (5 * Math.Cos(2 * Math.PI * (day - 364) / 365.25)));
        Assert.InRange(made.AsMeasured.DaysInTolerance, 0, 71);
        Assert.True(made.AsExpected.DaysInTolerance > made.AsMeasured.DaysInTolerance, $"{made}");
    }

    [Fact]
    public void Of_equal_seeds_is_equal()
    {
        var horse = SimulatedHerd.Horse(5, SimulatedClass.Building, 3, MadeToMeasureStudy.LifeDays);
        Assert.Equal(MadeToMeasureStudy.Of(horse, Exact, new CheckPolicy(), TrendModel.Shipped), MadeToMeasureStudy.Of(horse, Exact, new CheckPolicy(), TrendModel.Shipped));
    }

    private static MadeTwice Of(Func<int, double> width) => MadeToMeasureStudy.Of(
        new SimulatedHorse(1, 0, SimulatedClass.Maintenance, [.. Enumerable.Range(0, MadeToMeasureStudy.LifeDays).Select(width)], [], 1.5), Exact, new CheckPolicy(), TrendModel.Shipped);
}
