using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Forecasts;

/// <summary>Risk of being out of tolerance on and by a day.</summary>
/// <param name="Day">The day.</param>
/// <param name="OutOn">Probability of being out on that day.</param>
/// <param name="OutBy">Probability of having been out on some day since the curve begins, up to that day (first passage).</param>
public readonly record struct RiskDay(DateOnly Day, double OutOn, double OutBy);

/// <summary>
/// Risk of one finding, day by day, from the last evidence (last session that bears on it, last alteration of the saddle, first day of
/// the pairing) to the end of the horizon.
/// </summary>
/// <param name="Key">Which finding.</param>
/// <param name="Near">Station it is at or near; null where there is none within 60 mm or it is of the whole saddle.</param>
/// <param name="Days">Every day in order, the first being the day of the last evidence.</param>
/// <param name="ExpectedOutOn">First day on which the expected value lies beyond an out limit; null where it stays inside.</param>
public sealed record RiskCurve(FindingKey Key, Station? Near, IReadOnlyList<RiskDay> Days, DateOnly? ExpectedOutOn)
{
    /// <summary>First day from <paramref name="from"/> on by which the probability of being out reaches <paramref name="probability"/>; null where it does not within the curve.</summary>
    public DateOnly? ReachedOn(double probability, DateOnly from) => Risk.ReachedOn(Days, probability, from);

    /// <summary>First day on which the probability of being out is <paramref name="probability"/> or more; null where there is none.</summary>
    internal DateOnly? FirstOutOn(double probability)
    {
        foreach (var day in Days)
        {
            if (day.OutOn >= probability)
                return day.Day;
        }
        return null;
    }

    /// <summary>The risk on a day of the curve; the ends answer for days beyond them.</summary>
    public RiskDay At(DateOnly day) => Risk.At(Days, day);
}
