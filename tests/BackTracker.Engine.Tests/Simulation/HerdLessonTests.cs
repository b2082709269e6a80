using BackTracker.Engine.Priors;
using BackTracker.Engine.Simulation;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Simulation;

public class HerdLessonTests
{
    [Fact]
    public void Of_aHerd_sortsByAge_andTellsWhatItLearnedOrWhyNot()
    {
        var learned = HerdLesson.Of(5, 45, TrendModel.Shipped);

        PriorKey[] keys = [.. learned.Priors.Select(prior => prior.Key), .. learned.Refused.Select(refused => refused.Key)];
        Assert.Equal(5, keys.Distinct().Count());
        Assert.Equal([HorseClass.All, HorseClass.Growing, HorseClass.Grown], keys.Where(key => key.Context == PriorContext.NothingRecorded).Select(key => key.Class).Order());
        Assert.Equal(225, learned.Horses);
        Assert.Equal(2, Assert.Single(learned.SessionSds).Sd, .1);
        Assert.Equal(learned.Priors, HerdLesson.Of(5, 45, TrendModel.Shipped).Priors);
    }
}
