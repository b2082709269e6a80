using BackTracker.Engine.Measures;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Trends;
using CsCheck;

namespace BackTracker.Engine.Tests.Trends;

public sealed class RunningTrendTests
{
    private static readonly DateOnly Born = Generators.Origin.AddDays(450).AddYears(-HorseClasses.GrowingYears);

    private static readonly TrendModel Model = TrendModel.Shipped.With(new LearnedPriors { Name = "test", Priors = [Learned(HorseClass.Growing, .06), Learned(HorseClass.Grown, .015)] });

    // What a running trend expects of each session in turn is what the whole fit of those before it would: through events, on days with
    // several sessions, and when the prior changes because the sessions have come to reach over an event or the horse has come of age.
    [Fact]
    public void TryExpect_sessionsOneByOne_isWhatTheWholeFitExpects() =>
        Gen.Select(Generators.Points.Array[1, 25], Gen.Int[-100, 1000].Array[0, 4]).Sample((points, events) =>
        {
            var eventDays = events.Select(day => Generators.Origin.AddDays(day)).Distinct().Order().ToArray();
            var running = new RunningTrend(Generators.T13Width, eventDays, Born, Model);
            var before = new List<SeriesPoint>();
            foreach (var point in points.OrderBy(p => p.On))
            {
                Assert.Equal(before.Count > 0, running.TryExpect(point.On, out var expected));
                if (before.Count > 0)
                    HoldAgainstFit(before, eventDays, point.On, expected);
                before.Add(point);
                running.Add(point);
            }
        }, iter: 200);

    private static void HoldAgainstFit(List<SeriesPoint> before, DateOnly[] eventDays, DateOnly on, Expectation expected)
    {
        var reached = eventDays.Any(day => day >= before[0].On && day <= before[^1].On);
        var fit = MetricTrend.Fit(
            new MetricSeries(Generators.T13Width, before, [.. eventDays.Where(day => day <= on)], reached ? PriorContext.EventsRecorded : PriorContext.NothingRecorded)
            {
                Class = HorseClasses.Of(Born, before[^1].On),
            },
            Model);
        var level = fit.On(on);
        Assert.Equal(level.Mean, expected.Level, 1e-7);
        Assert.Equal(level.Sd, expected.LevelSd, 1e-7);
        Assert.Equal(fit.LeastRealChange / (1.96 * Math.Sqrt(2)), expected.SessionSd, 1e-9);
    }

    private static LearnedPrior Learned(HorseClass kind, double rate) => new(
        new(kind, Quantity.Width, PriorContext.NothingRecorded), 60, .6, new(new(rate, .4), new(60, .5), new(1.5, .4)), new(100, .8, -2.8), new(100, .8, -2.9));
}
