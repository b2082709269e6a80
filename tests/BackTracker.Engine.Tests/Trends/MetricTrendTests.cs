using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;
using CsCheck;

namespace BackTracker.Engine.Tests.Trends;

public class MetricTrendTests
{
    [Fact]
    public void Fit_any_legal_series_answers_everything() => Generators.Series.Sample(series =>
    {
        var trend = MetricTrend.Fit(series, TrendModel.Shipped);

        Assert.Equal(series.Points.Count, trend.Points.Count);
        Assert.Equal(series.Points.Count, trend.Smoothed.Count);
        Assert.True(trend.Rate.Low80 < trend.Rate.High80 && trend.Rate.StandardError > 0);
        Assert.InRange(trend.Rate.ProbabilityRising, 0, 1);
        Assert.All(trend.Smoothed, level => Assert.True(double.IsFinite(level.Level) && level.StandardError > 0));
        Assert.All(trend.Points, point => Assert.InRange(point.OutlierProbability + point.StepProbability + point.KinkProbability, 0, 1));
        foreach (var day in new[] { -200, 0, 333, 900, 2000 })
        {
            var level = trend.On(Generators.Origin.AddDays(day));
            Assert.Equal(series.Points.Count > 0, level.IsKnown);
            Assert.True(!level.IsKnown || (double.IsFinite(level.Mean) && level.Sd > 0 && level.Quantile(.1) < level.Quantile(.9)));
        }
    });

    [Fact]
    public void Fit_all_dates_shifted_gives_the_same() =>
        Gen.Select(Generators.SeriesOf(1, 20), Gen.Int[-3000, 3000]).Sample((series, shift) =>
        {
            var moved = series with
            {
                Points = [.. series.Points.Select(point => point with { On = point.On.AddDays(shift) })],
                EventDays = [.. series.EventDays.Select(day => day.AddDays(shift))],
            };

            var (here, there) = (MetricTrend.Fit(series, TrendModel.Shipped), MetricTrend.Fit(moved, TrendModel.Shipped));

            Generators.AssertSame(Generators.Picture(here), Generators.Picture(there, shift), 1e-12);
        });

    [Fact]
    public void Fit_sessions_in_another_order_gives_the_same() =>
        Gen.Select(Generators.SeriesOf(1, 20), Gen.Int).Sample((series, seed) =>
        {
            var order = new Random(seed);
            var shuffled = series with { Points = [.. series.Points.OrderBy(_ => order.Next())], EventDays = [.. series.EventDays.Reverse()] };

            var (one, other) = (MetricTrend.Fit(series, TrendModel.Shipped), MetricTrend.Fit(shuffled, TrendModel.Shipped));

            Generators.AssertSame(Generators.Picture(one), Generators.Picture(other), 0);
        });

    /// <summary>Half widths start from an SD of 1.4 and widths from 2: a series .7 times as large must give a trend .7 times as large.</summary>
    [Fact]
    public void Fit_another_unit_scales_with_its_session_sd() => Generators.SeriesOf(1, 20).Sample(series =>
    {
        var half = series with
        {
            Metric = new Metric(Quantity.HalfLeft, Station.Of(13), 150),
            Points = [.. series.Points.Select(point => point with { Mean = .7 * point.Mean, RepeatSd = .7 * point.RepeatSd })],
        };

        var (full, scaled) = (MetricTrend.Fit(series, TrendModel.Shipped), MetricTrend.Fit(half, TrendModel.Shipped));

        Generators.AssertSame(Generators.Picture(full), Generators.Picture(scaled, 0, 1 / .7)[..^(series.Points.Count + 1)]
            .Concat(Generators.Picture(scaled)[^(series.Points.Count + 1)..]).ToArray(), 1e-9);
    });

    [Fact]
    public void Fit_repeats_of_a_hand_twice_as_unsteady_tell_as_much_as_a_quarter_of_them() => Generators.SeriesOf(1, 12).Sample(series =>
    {
        var unsteady = series with { Points = [.. series.Points.Select(point => point with { Repeats = 4 * point.Repeats, RepeatSd = 2 * point.RepeatSd })] };

        Generators.AssertSame(
            Generators.Picture(MetricTrend.Fit(series, TrendModel.Shipped)), Generators.Picture(MetricTrend.Fit(unsteady, TrendModel.Shipped)), 1e-12);
    });

    [Fact]
    public void Fit_session_of_an_unsteady_hand_pulls_the_level_less_and_is_told_with_more_error()
    {
        var steady = Generators.Of((0, 300), (28, 301), (56, 300), (84, 306));
        var unsteady = steady with { Points = [.. steady.Points.SkipLast(1), steady.Points[^1] with { RepeatSd = 6 }] };

        var (one, other) = (MetricTrend.Fit(steady, TrendModel.Shipped), MetricTrend.Fit(unsteady, TrendModel.Shipped));

        Assert.True(other.On(Generators.Origin.AddDays(84)).Mean < one.On(Generators.Origin.AddDays(84)).Mean);
        Assert.True(other.Points[^1].StandardError > one.Points[^1].StandardError + 1);
    }

    [Fact]
    public void On_the_last_session_the_smoothed_level_is_the_filtered_one_but_for_parameters_that_hardly_weigh() => Generators.SeriesOf(1, 15).Sample(series =>
    {
        var trend = MetricTrend.Fit(series, TrendModel.Shipped);

        var last = trend.On(trend.Smoothed[^1].On);

        Assert.Equal(last.Mean, trend.Smoothed[^1].Level, .05 * last.Sd);
        Assert.Equal(last.Sd, trend.Smoothed[^1].StandardError, .05 * last.Sd);
    });

    [Fact]
    public void On_days_ahead_the_answer_grows_wider() => Generators.SeriesOf(1, 15).Sample(series =>
    {
        var trend = MetricTrend.Fit(series with { EventDays = [] }, TrendModel.Shipped);
        var last = trend.Points[^1].On;

        // A year apart, so that the season is in the same phase.
        var sds = new[] { 0, 1461, 2922 }.Select(days => trend.On(last.AddDays(days)).Sd).ToArray();

        Assert.True(sds[0] < sds[1] && sds[1] < sds[2]);
    });

    [Fact]
    public void Fit_one_session_says_little()
    {
        var trend = MetricTrend.Fit(Generators.Of((0, 300)), TrendModel.Shipped);

        Assert.Equal(TrendDirection.NoTrendYet, trend.Direction);
        Assert.Equal(0, trend.Rate.PerDay, 1e-12);
        Assert.Equal(.5, trend.Rate.ProbabilityRising, 1e-9);
        Assert.Equal(300, trend.On(Generators.Origin.AddDays(28)).Mean, 1e-9);
        Assert.True(trend.On(Generators.Origin).Sd > 2, "One session of two repeats cannot be known better than its session error.");
    }

    [Fact]
    public void Fit_no_session_knows_nothing()
    {
        var trend = MetricTrend.Fit(Generators.Of(), TrendModel.Shipped);

        var level = trend.On(Generators.Origin);
        Assert.False(level.IsKnown);
        Assert.True(double.IsNaN(level.Mean) && double.IsNaN(level.ProbabilityAbove(0)));
        Assert.Equal(TrendDirection.NoTrendYet, trend.Direction);
    }

    [Fact]
    public void Direction_follows_a_clear_move_and_needs_three_sessions()
    {
        var rising = Enumerable.Range(0, 8).Select(i => (28 * i, 300 + 5.0 * i)).ToArray();

        Assert.Equal(TrendDirection.NoTrendYet, MetricTrend.Fit(Generators.Of(rising[..2]), TrendModel.Shipped).Direction);
        Assert.Equal(TrendDirection.Rising, MetricTrend.Fit(Generators.Of(rising), TrendModel.Shipped).Direction);
        Assert.Equal(
            TrendDirection.Falling,
            MetricTrend.Fit(Generators.Of([.. rising.Select(point => (point.Item1, 600 - point.Item2))]), TrendModel.Shipped).Direction);
    }

    /// <summary>A rate that may as well be nothing as a real change in twelve weeks is neither steady nor rising.</summary>
    [Fact]
    public void Direction_of_a_slow_short_rise_is_no_trend_yet()
    {
        var slow = Enumerable.Range(0, 8).Select(i => (28 * i, 300 + 3.0 * i)).ToArray();

        Assert.Equal(TrendDirection.NoTrendYet, MetricTrend.Fit(Generators.Of(slow), TrendModel.Shipped).Direction);
    }

    [Fact]
    public void Direction_of_a_long_quiet_series_is_steady()
    {
        var quiet = Enumerable.Range(0, 20).Select(i => (28 * i, 300 + (i % 2 == 0 ? .3 : -.3))).ToArray();

        Assert.Equal(TrendDirection.Steady, MetricTrend.Fit(Generators.Of(quiet), TrendModel.Shipped).Direction);
    }

    [Fact]
    public void Points_wild_reading_is_called_an_outlier_and_moves_little()
    {
        var points = Enumerable.Range(0, 12).Select(i => (28 * i, i == 6 ? 325.0 : 300)).ToArray();

        var trend = MetricTrend.Fit(Generators.Of(points), TrendModel.Shipped);

        Assert.True(trend.Points[6].OutlierProbability > .7);
        Assert.True(trend.Points[5].OutlierProbability < .05);
        Assert.Equal(300, trend.On(Generators.Origin.AddDays(330)).Mean, 1.0);
    }

    [Fact]
    public void On_a_later_day_an_event_in_between_widens_the_forecast()
    {
        var series = Generators.Of((0, 300), (30, 301), (60, 300), (90, 301));
        var planned = series with { EventDays = [Generators.Origin.AddDays(100)] };

        var (without, with) = (MetricTrend.Fit(series, TrendModel.Shipped), MetricTrend.Fit(planned, TrendModel.Shipped));

        Assert.Equal(without.On(Generators.Origin.AddDays(99)).Sd, with.On(Generators.Origin.AddDays(99)).Sd, 1e-12);
        Assert.True(with.On(Generators.Origin.AddDays(160)).Sd > 1.2 * without.On(Generators.Origin.AddDays(160)).Sd);
    }

    [Theory]
    [InlineData(double.NaN, 1, ExerciseState.Before, 2)]
    [InlineData(300, 0, ExerciseState.Before, 2)]
    [InlineData(300, 1, ExerciseState.After, 2)]
    [InlineData(300, 1, ExerciseState.Before, 0)]
    [InlineData(300, 1, ExerciseState.Before, double.NaN)]
    public void Fit_session_that_does_not_belong_is_refused(double mean, int repeats, ExerciseState exercise, double repeatSd)
    {
        var series = Generators.Of() with { Points = [new SeriesPoint(Generators.Origin, mean, repeats, exercise, repeatSd)] };

        Assert.Throws<ArgumentException>(() => MetricTrend.Fit(series, TrendModel.Shipped));
    }
}
