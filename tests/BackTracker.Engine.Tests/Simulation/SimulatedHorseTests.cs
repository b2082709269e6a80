using BackTracker.Engine.Assessments;
using BackTracker.Engine.Simulation;

namespace BackTracker.Engine.Tests.Simulation;

public class SimulatedHorseTests
{
    private const int Days = 1200;

    [Fact]
    public void Horse_same_arguments_same_life_and_another_seed_another()
    {
        foreach (var kind in SimulatedHerd.Classes)
        {
            var (once, again) = (SimulatedHerd.Horse(5, kind, 3, Days), SimulatedHerd.Horse(5, kind, 3, Days));
            Assert.Equal(once.WidthsMm, again.WidthsMm);
            Assert.Equal(once.Events, again.Events);
            Assert.Equal(once.SessionOn(77).Readings, again.SessionOn(77).Readings);
            Assert.NotEqual(once.WidthsMm[0], SimulatedHerd.Horse(6, kind, 3, Days).WidthsMm[0]);
            Assert.NotEqual(once.WidthsMm[0], SimulatedHerd.Horse(5, kind, 4, Days).WidthsMm[0]);
        }
    }

    [Fact]
    public void Horse_longer_life_begins_like_a_shorter_one()
    {
        var (shorter, longer) = (SimulatedHerd.Horse(1, SimulatedClass.LayOff, 0, 300), SimulatedHerd.Horse(1, SimulatedClass.LayOff, 0, 900));
        Assert.Equal(shorter.Events, longer.Events);
        Assert.Equal(shorter.WidthsMm, longer.WidthsMm.Take(300));
    }

    [Fact]
    public void SessionOn_scatters_around_the_truth_as_its_variances_add_up()
    {
        var off = (from index in Enumerable.Range(0, 40)
                   let horse = SimulatedHerd.Horse(2, SimulatedClass.Maintenance, index, Days) with { SessionSdMm = 1.8 }
                   from day in Enumerable.Range(0, 100).Select(i => i * 12)
                   let session = horse.SessionOn(day)
                   where session.Exercise == ExerciseState.Before
                   select session.Readings.Average(reading => reading.Value) - horse.WidthsMm[day]).ToList();
        // Session, a repeat over one, two, two or three, and a blunder now and then.
        var expected = (1.8 * 1.8) + (4 * (1 + .5 + .5 + (1 / 3.0)) / 4) + (.03 * 15 * 15);
        Assert.InRange(off.Average(), -4 * Math.Sqrt(expected / off.Count), 4 * Math.Sqrt(expected / off.Count));
        Assert.InRange(off.Average(value => value * value), .85 * expected, 1.15 * expected);
    }

    [Fact]
    public void Horses_of_every_class_change_by_as_much_as_their_class_says()
    {
        Assert.InRange(Herd(SimulatedClass.Step).Average(horse => LargestWithin(horse, 14)), 8, 14);
        Assert.InRange(Herd(SimulatedClass.Maintenance).Average(horse => LargestWithin(horse, 14)), 1, 4);
        Assert.All(Herd(SimulatedClass.Growing), horse => Assert.InRange(horse.WidthsMm[1100] - horse.WidthsMm[0], 6, 42));
        Assert.All(Herd(SimulatedClass.LayOff), horse => Assert.Equal(EventKind.LayOff, horse.Events[0].Kind));
        Assert.All(Herd(SimulatedClass.Building), horse => Assert.Equal(EventKind.StartOfWork, Assert.Single(horse.Events).Kind));
    }

    [Fact]
    public void Events_are_known_three_times_in_five()
    {
        var known = Herd(SimulatedClass.Building, 600).Average(horse => horse.Events[0].IsKnown ? 1.0 : 0);
        Assert.InRange(known, .6 - (3 * Math.Sqrt(.24 / 600)), .6 + (3 * Math.Sqrt(.24 / 600)));
    }

    private static IEnumerable<SimulatedHorse> Herd(SimulatedClass kind, int count = 30) => Enumerable.Range(0, count).Select(index => SimulatedHerd.Horse(9, kind, index, Days));

    private static double LargestWithin(SimulatedHorse horse, int days) =>
        Enumerable.Range(days, Days - days).Max(day => Math.Abs(horse.WidthsMm[day] - horse.WidthsMm[day - days]));
}
