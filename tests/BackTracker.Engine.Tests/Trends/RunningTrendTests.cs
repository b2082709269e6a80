using BackTracker.Engine.Trends;
using CsCheck;

namespace BackTracker.Engine.Tests.Trends;

public sealed class RunningTrendTests
{
    // What a running trend expects of each session in turn is what the whole fit of those before it would: through events, on days with
    // several sessions, and when the prior changes because the sessions have come to reach over an event.
    [Fact]
    public void TryExpect_sessionsOneByOne_isWhatTheWholeFitExpects() =>
        Gen.Select(Generators.Points.Array[1, 25], Gen.Int[-100, 1000].Array[0, 4]).Sample((points, events) =>
        {
            var eventDays = events.Select(day => Generators.Origin.AddDays(day)).Distinct().Order().ToArray();
            var running = new RunningTrend(Generators.T13Width, eventDays, TrendModel.Shipped);
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
            new MetricSeries(Generators.T13Width, before, [.. eventDays.Where(day => day <= on)], reached ? PriorContext.EventsRecorded : PriorContext.NothingRecorded),
            TrendModel.Shipped);
        var level = fit.On(on);
        Assert.Equal(level.Mean, expected.Level, 1e-7);
        Assert.Equal(level.Sd, expected.LevelSd, 1e-7);
        Assert.Equal(fit.LeastRealChange / (1.96 * Math.Sqrt(2)), expected.SessionSd, 1e-9);
    }
}
