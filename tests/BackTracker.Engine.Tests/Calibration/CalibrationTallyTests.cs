using BackTracker.Engine.Calibration;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Calibration;

public class CalibrationTallyTests
{
    private static readonly DateOnly From = new(2026, 1, 5);

    [Fact]
    public void Rows_right_forecasts_cover_what_they_should_and_spread_evenly()
    {
        var row = Tally(Enumerable.Range(0, 1000).Select(i => (i + .5) / 1000)).Rows[0];

        Assert.Equal(new BandCovers(.5, .8, .95), row.Covers);
        Assert.All(row.PitCounts, count => Assert.Equal(100, count));
        Assert.Equal(0, row.PitChiSquare);
        Assert.Contains("as sure as they should be", CalibrationWords.Cover(row), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(.3, "surer of themselves")]
    [InlineData(3, "more careful")]
    public void Rows_bands_too_narrow_or_too_wide_are_named(double wider, string words)
    {
        // What a forecast whose standard deviation is off by a factor gives to values that come as they should.
        var pits = Enumerable.Range(0, 1000).Select(i => Normal.Cdf(Normal.Quantile((i + .5) / 1000) / wider));

        var row = Tally(pits).Rows[0];

        Assert.True(row.PitChiSquare > 100);
        Assert.Contains(words, CalibrationWords.Cover(row), StringComparison.Ordinal);
    }

    [Fact]
    public void Rows_chi_square_is_that_of_pearson()
    {
        // Ten forecasts, all in one tenth: (10 - 1)^2 / 1 and nine times (0 - 1)^2 / 1.
        Assert.Equal(90, Tally(Enumerable.Repeat(.55, 10)).Rows[0].PitChiSquare, 1e-12);
    }

    [Fact]
    public void Rows_few_sessions_say_nothing_of_how_sure()
    {
        var row = Tally(Enumerable.Repeat(.5, CalibrationWords.LeastSessions - 1)).Rows[0];

        Assert.StartsWith("Too few", CalibrationWords.Cover(row), StringComparison.Ordinal);
    }

    [Fact]
    public void Rows_errors_are_told_by_metric_and_horizon()
    {
        var (tally, girth) = (new CalibrationTally(), new Metric(Quantity.Girth));
        tally.Add([Score(Larkfield.T13, 20, 1, 3), Score(Larkfield.T13, 48, 2, -1), Score(girth, 20, 1, 12)]);
        tally.Add([Score(Larkfield.T13, 20, 1, 4)]);

        var rows = tally.Rows.ToDictionary(row => (row.Metric, row.Horizon));

        var near = rows[(Larkfield.T13, Horizon.FourWeeks)];
        Assert.Equal((2, 2, 2, 3.5), (near.Forecasts, near.Sessions, near.Horses, near.Bias));
        Assert.Equal(new ForecastErrors(Math.Sqrt(12.5), Math.Sqrt(50), 0, 0), near.RootMeanSquare);
        Assert.Equal(-1, rows[(Larkfield.T13, Horizon.EightWeeks)].Bias);
        Assert.Equal(2, rows[(Larkfield.T13, Horizon.NextSession)].Forecasts);
        // Width and girth of one session are one session.
        var all = rows[(null, Horizon.NextSession)];
        Assert.Equal((3, 2, 2), (all.Forecasts, all.Sessions, all.Horses));
        Assert.True(double.IsNaN(all.Bias));
        Assert.Contains("3.5 mm", CalibrationWords.Accuracy(near), StringComparison.Ordinal);
        Assert.Equal((8, 2), (rows.Count, tally.Horses));
    }

    private static CalibrationTally Tally(IEnumerable<double> pits)
    {
        var tally = new CalibrationTally();
        foreach (var pit in pits)
            tally.Add([Score(Larkfield.T13, 28, 1, 0) with { Pit = pit }]);
        return tally;
    }

    private static ForecastScore Score(Metric metric, int ahead, int sessions, double error) =>
        new(metric, From, From.AddDays(ahead), sessions, .5, new ForecastErrors(error, 2 * error, 0, 0));
}
