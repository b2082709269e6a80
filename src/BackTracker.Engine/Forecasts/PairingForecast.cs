using System.Diagnostics.CodeAnalysis;
using BackTracker.Engine.Fit;

namespace BackTracker.Engine.Forecasts;

/// <summary>
/// Risk of a pairing leaving tolerance, per finding and overall. Overall counts how the findings go together through the back they share
/// (<see cref="PairingPassage"/>); the highest single probability and the one of findings that know nothing of each other stand beside it as
/// bounds. What does not move with the back (channel, reach, room behind the shoulder) is a finding of today and enters no overall risk.
/// </summary>
public sealed class PairingForecast
{
    private readonly RiskCurve[] moving;

    private PairingForecast(IReadOnlyList<RiskCurve> measures, RiskCurve[] moving, IReadOnlyList<RiskDay> overall, IReadOnlyList<RiskDay> alone)
    {
        (Measures, this.moving, Overall, Alone) = (measures, moving, overall, alone);
    }

    /// <summary>The curve of each finding that could be had, in the order of the findings.</summary>
    public IReadOnlyList<RiskCurve> Measures { get; }

    /// <summary>Risk that any finding is out, every day from the last evidence of the youngest curve to the end of the horizon.</summary>
    public IReadOnlyList<RiskDay> Overall { get; }

    /// <summary>The same were the findings to know nothing of each other.</summary>
    private IReadOnlyList<RiskDay> Alone { get; }

    /// <summary>Whether the expected value of some finding leaves tolerance within the horizon.</summary>
    public bool ExpectedToLeave => moving.Any(curve => curve.ExpectedOutOn is not null);

    /// <summary>First day on which the expected value of some finding lies beyond a limit; null where none does.</summary>
    public DateOnly? ExpectedOutOn => moving.Min(curve => curve.ExpectedOutOn);

    /// <summary>The forecast of a pairing; false where nothing that moves with the back can be compared.</summary>
    /// <param name="fit">The pairing, laid on the back.</param>
    /// <param name="last">Last day of the horizon.</param>
    /// <param name="forecast">The forecast.</param>
    public static bool TryMake(PairingFit fit, DateOnly last, [NotNullWhen(true)] out PairingForecast? forecast)
    {
        ArgumentNullException.ThrowIfNull(fit);
        FindingPath[] paths = [.. fit.OfSaddle];
        MovingPath[] moving = [.. paths.OfType<MovingPath>()];
        forecast = null;
        if (moving.Length == 0)
            return false;
        var passages = moving.Select(path => path.EvidenceOn).Distinct().ToDictionary(start => start, start => new PairingPassage(
            moving.Where(path => path.EvidenceOn <= start), fit.Back, start, Math.Max(0, last.DayNumber - start.DayNumber)));
        RiskCurve[] curves = [.. paths.Select(path => RiskCurves.Of(path, last, path is MovingPath ? passages[path.EvidenceOn].By(path.Key) : []))];
        RiskCurve[] movingCurves = [.. curves.Where((_, i) => paths[i] is MovingPath)];
        var first = passages.Keys.Max();
        var (overall, alone) = Combine(passages[first].Any, first, movingCurves);
        forecast = new PairingForecast(curves, movingCurves, overall, alone);
        return true;
    }

    /// <summary>First day from <paramref name="from"/> on by which the overall probability of being out reaches <paramref name="probability"/>; null where it does not within the horizon.</summary>
    public DateOnly? ReachedOn(double probability, DateOnly from) => Risk.ReachedOn(Overall, probability, from);

    /// <summary>The overall risk on a day; the ends answer for days beyond them.</summary>
    public RiskDay At(DateOnly day) => Risk.At(Overall, day);

    /// <summary>Bounds of the probability of being out by a day where the findings move as one (the highest single one) and where they know nothing of each other (one less the product of the complements).</summary>
    public (double Low, double High) BoundsBy(DateOnly day) =>
        (moving.Max(curve => curve.At(day).OutBy), Math.Max(Risk.At(Alone, day).OutBy, At(day).OutBy));

    /// <summary>The finding most likely to have left tolerance by <paramref name="day"/>.</summary>
    public RiskCurve DriverBy(DateOnly day) => moving.MaxBy(curve => curve.At(day).OutBy)!;

    private static (RiskDay[] Overall, RiskDay[] Alone) Combine(AnyOut[] any, DateOnly first, RiskCurve[] curves)
    {
        var length = curves[0].Days[^1].Day.DayNumber - first.DayNumber;
        var (overall, alone) = (new List<RiskDay>(length + 1), new List<RiskDay>(length + 1));
        foreach (var (before, after, share) in RiskCurves.Days(length))
        {
            var day = first.AddDays(overall.Count);
            var on = double.Lerp(any[before].On, any[after].On, share);
            overall.Add(Next(overall, day, on, double.Lerp(any[before].By, any[after].By, share), curves));
            alone.Add(Next(alone, day, on, double.Lerp(any[before].ByAlone, any[after].ByAlone, share), curves));
        }
        return ([.. overall], [.. alone]);
    }

    // No less than any single finding: that holds for the paths too, but for the noise of their number.
    private static RiskDay Next(List<RiskDay> days, DateOnly day, double anyOn, double anyBy, RiskCurve[] curves)
    {
        var (on, by) = (anyOn, Math.Max(anyBy, days.Count > 0 ? days[^1].OutBy : 0));
        foreach (var curve in curves)
        {
            var risk = curve.At(day);
            (on, by) = (Math.Max(on, risk.OutOn), Math.Max(by, risk.OutBy));
        }
        return new RiskDay(day, on, Math.Max(on, by));
    }
}
