using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Calibration;

/// <summary>One forecast of one session, held against what was then measured.</summary>
/// <param name="Metric">What was forecast.</param>
/// <param name="FromOn">Day it was made: that of the last session it knew.</param>
/// <param name="On">Day of the session that was forecast.</param>
/// <param name="SessionsAhead">Which session after the last known it was: 1 the next.</param>
/// <param name="Pit">
/// Probability that the forecast gave to a value at or below the one measured (probability integral transform: Dawid 1984, J R Stat Soc A
/// 147:278-292); evenly spread over 0 to 1 where forecasts are right.
/// </param>
/// <param name="Errors">Forecast less measured, in the metric's unit.</param>
public readonly record struct ForecastScore(Metric Metric, DateOnly FromOn, DateOnly On, int SessionsAhead, double Pit, ForecastErrors Errors)
{
    /// <summary>Days ahead.</summary>
    public int DaysAhead => On.DayNumber - FromOn.DayNumber;
}

/// <summary>Forecast less measured, of the model and of what anybody could say from the same sessions.</summary>
/// <param name="Model">Of the mean of the forecast.</param>
/// <param name="LastValue">Of the last value.</param>
/// <param name="MedianOfThree">Of the median of the last three values.</param>
/// <param name="StraightLine">Of the least-squares line through all values.</param>
public readonly record struct ForecastErrors(double Model, double LastValue, double MedianOfThree, double StraightLine)
{
    internal ForecastErrors Plus(ForecastErrors other) =>
        new(Model + other.Model, LastValue + other.LastValue, MedianOfThree + other.MedianOfThree, StraightLine + other.StraightLine);

    internal ForecastErrors Each(Func<double, double> change) => new(change(Model), change(LastValue), change(MedianOfThree), change(StraightLine));
}
