using BackTracker.Engine.Assessments;
using BackTracker.Engine.Calibration;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Calibration;

public class ReplayTests
{
    private static readonly double[] Widths = [300, 304, 301, 305, 303, 307];

    private static readonly HorseFacts Horse = Larkfield.Blank with
    {
        Sessions = [.. Widths.Select((width, i) => Larkfield.Session($"s{i}", Day(i), width))],
    };

    [Fact]
    public void Of_holds_every_forecast_from_three_sessions_on_against_every_session_after_it()
    {
        var scores = Replay.Of(Horse, TrendModel.Shipped).ToList();

        Assert.Equal(
            [(2, 3, 1), (2, 4, 2), (2, 5, 3), (3, 4, 1), (3, 5, 2), (4, 5, 1)],
            scores.Select(score => (IndexOf(score.FromOn), IndexOf(score.On), score.SessionsAhead)));
        Assert.All(scores, score => Assert.Equal(Larkfield.T13, score.Metric));
    }

    [Fact]
    public void Of_forecasts_from_what_was_known_on_the_day_and_no_more()
    {
        var first = Replay.Of(Horse, TrendModel.Shipped).First();
        var known = MetricTrend.Fit(SeriesBuilder.Build(Horse, Larkfield.T13, Day(2)), TrendModel.Shipped);
        var measured = SeriesBuilder.Build(Horse, Larkfield.T13).Points[3];

        var reading = known.ReadingOn(measured);

        Assert.Equal(reading.Mean - 305, first.Errors.Model, 1e-12);
        Assert.Equal(reading.Cdf(305), first.Pit, 1e-12);
        // Whatever came later may be anything.
        var other = Horse with { Sessions = [.. Horse.Sessions.Take(4), .. Horse.Sessions.Skip(4).Select(session => session with { Readings = [new Reading(Larkfield.T13, 250)] })] };
        Assert.Equal(first, Replay.Of(other, TrendModel.Shipped).First());
    }

    [Fact]
    public void Of_plain_forecasts_go_by_the_same_sessions()
    {
        var errors = Replay.Of(Horse, TrendModel.Shipped).First().Errors;

        Assert.Equal(301 - 305, errors.LastValue);
        Assert.Equal(301 - 305, errors.MedianOfThree);
        Assert.Equal(301.66667 + 2 * .5 - 305, errors.StraightLine, 1e-4);
    }

    [Fact]
    public void Of_more_than_half_a_year_ahead_and_after_work_are_left_out()
    {
        var far = Horse with
        {
            Sessions = [.. Horse.Sessions.Take(3), Larkfield.Session("w", Day(3), 320, exercise: ExerciseState.After), Larkfield.Session("f", Day(2).AddDays(183), 300)],
        };

        Assert.Empty(Replay.Of(far, TrendModel.Shipped));
    }

    [Fact]
    public void ReadingOn_is_wider_than_the_level_by_the_error_of_measuring()
    {
        var trend = MetricTrend.Fit(SeriesBuilder.Build(Horse, Larkfield.T13), TrendModel.Shipped);
        var day = Day(6);

        var (level, one, four, unknown) = (trend.On(day), Reading(1), Reading(4), trend.ReadingOn(new SeriesPoint(day, 0, 1, ExerciseState.Unknown, Larkfield.T13.StartingSessionSd)));

        Assert.Equal(level.Mean, one.Mean, 1e-9);
        Assert.True(level.Sd < four.Sd && four.Sd < one.Sd && one.Sd < unknown.Sd);
        Assert.Equal(3, (one.Sd * one.Sd) - (four.Sd * four.Sd), 1e-9);

        NormalMixture Reading(int repeats) => trend.ReadingOn(new SeriesPoint(day, 0, repeats, ExerciseState.Before, Larkfield.T13.StartingSessionSd));
    }

    private static DateOnly Day(int i) => new DateOnly(2026, 1, 5).AddDays(28 * i);

    private static int IndexOf(DateOnly day) => (day.DayNumber - Day(0).DayNumber) / 28;
}
