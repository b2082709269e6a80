using System.Diagnostics.CodeAnalysis;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Forecasts;

/// <summary>
/// Risk of a pairing leaving tolerance, per finding and overall. Overall takes the findings as independent, 1 - prod(1 - p): nobody
/// knows yet how the stations of one horse move together, so the highest single probability stands beside it as the lower bound.
/// </summary>
public sealed class PairingForecast
{
    private PairingForecast(IReadOnlyList<RiskCurve> measures, IReadOnlyList<RiskDay> overall)
    {
        Measures = measures;
        Overall = overall;
    }

    /// <summary>The curve of each finding that could be had, from front to rear.</summary>
    public IReadOnlyList<RiskCurve> Measures { get; }

    /// <summary>Risk that any finding is out, every day from the last evidence of the youngest curve to the end of the horizon.</summary>
    public IReadOnlyList<RiskDay> Overall { get; }

    /// <summary>Whether the expected mismatch of some finding leaves tolerance within the horizon.</summary>
    public bool ExpectedToLeave => Measures.Any(curve => curve.ExpectedOutOn is not null);

    /// <summary>The forecast of a pairing from trends; false where no width of its tree can be compared with the back.</summary>
    /// <param name="pairing">The pairing.</param>
    /// <param name="trends">Trends of the horse as of the day asked.</param>
    /// <param name="policy">Settings.</param>
    /// <param name="today">First day of the horizon.</param>
    /// <param name="forecast">The forecast.</param>
    public static bool TryMake(
        PairingFact pairing, HorseTrends trends, CheckPolicy policy, DateOnly today, [NotNullWhen(true)] out PairingForecast? forecast)
    {
        var curves = RiskCurves.Of(pairing, trends, policy, today);
        forecast = curves.Count > 0 ? new PairingForecast(curves, Combine(curves)) : null;
        return forecast is not null;
    }

    /// <summary>First day from <paramref name="from"/> on by which the overall probability of being out reaches <paramref name="probability"/>; null where it does not within the horizon.</summary>
    public DateOnly? ReachedOn(double probability, DateOnly from) => Risk.ReachedOn(Overall, probability, from);

    /// <summary>The overall risk on a day; the ends answer for days beyond them.</summary>
    public RiskDay At(DateOnly day) => Risk.At(Overall, day);

    /// <summary>Bounds of the probability of being out by a day where the stations move together (the highest single one) and where they move independently (one less the product of the complements).</summary>
    public (double Low, double High) BoundsBy(DateOnly day) =>
        (Measures.Max(curve => curve.At(day).OutBy), At(day).OutBy);

    /// <summary>The finding most likely to have left tolerance by <paramref name="day"/>.</summary>
    public RiskCurve DriverBy(DateOnly day) => Measures.MaxBy(curve => curve.At(day).OutBy)!;

    private static RiskDay[] Combine(IReadOnlyList<RiskCurve> curves)
    {
        var first = curves.Max(curve => curve.Days[0].Day);
        var overall = new RiskDay[curves[0].Days[^1].Day.DayNumber - first.DayNumber + 1];
        for (var i = 0; i < overall.Length; i++)
        {
            var day = first.AddDays(i);
            double inOn = 1, inBy = 1;
            foreach (var curve in curves)
            {
                var risk = curve.At(day);
                inOn *= 1 - risk.OutOn;
                inBy *= 1 - risk.OutBy;
            }
            overall[i] = new RiskDay(day, 1 - inOn, 1 - inBy);
        }
        return overall;
    }
}
