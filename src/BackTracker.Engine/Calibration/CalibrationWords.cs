using System.Globalization;

namespace BackTracker.Engine.Calibration;

/// <summary>How the forecasts did, as a yard manager reads it.</summary>
public static class CalibrationWords
{
    /// <summary>Sessions below which nothing is said of how sure forecasts were: two standard errors of a share of 80 % are then over 15 points.</summary>
    public const int LeastSessions = 30;

    // Two standard errors: one right model in twenty lies outside.
    private const double Errors = 2;

    /// <summary>Whether the bands were as wide as they should be.</summary>
    /// <param name="row">The forecasts.</param>
    public static string Cover(CalibrationRow row)
    {
        ArgumentNullException.ThrowIfNull(row);
        if (row.Sessions < LeastSessions)
            return $"Too few sessions to say how sure the forecasts were: {row.Sessions} of the {LeastSessions} it takes.";
        var held = $"Of {row.Forecasts} values forecast, {Words.Percent(row.Covers.In80)} lay where 80 % were to lie";
        var slack = Errors * Math.Sqrt(.8 * .2 / row.Sessions);
        return row.Covers.In80 switch
        {
            var share when share < .8 - slack => $"{held}: the forecasts were surer of themselves than they should be.",
            var share when share > .8 + slack => $"{held}: the forecasts were more careful than they need be.",
            _ => $"{held}: the forecasts were as sure as they should be.",
        };
    }

    /// <summary>How far off the forecasts were, beside what anybody could say from the same sessions.</summary>
    /// <param name="row">The forecasts of one metric.</param>
    public static string Accuracy(CalibrationRow row)
    {
        ArgumentNullException.ThrowIfNull(row);
        if (row.Metric is not { } metric)
            return "";
        var (model, last, median, line) = (row.RootMeanSquare.Model, row.RootMeanSquare.LastValue, row.RootMeanSquare.MedianOfThree, row.RootMeanSquare.StraightLine);
        return $"Typically off by {Amount(model)} {metric.Unit}; the last value by {Amount(last)}, the median of the last three by {Amount(median)}, a straight line by {Amount(line)}.";
    }

    private static string Amount(double value) => value.ToString(value < 1 ? "0.###" : "0.0", CultureInfo.InvariantCulture);
}
