using System.Diagnostics.CodeAnalysis;
using BackTracker.Engine.Fit;

namespace BackTracker.Engine.Forecasts;

/// <summary>
/// Risk of a pairing leaving tolerance, per finding and overall. Overall counts how the findings go together through the back they share
/// (<see cref="JointRisk"/>); the highest single probability and the one of findings that know nothing of each other stand beside it as
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
        FindingPath[] paths = [.. fit.OfSaddle], moving = [.. paths.Where(path => path is not StandingPath)];
        forecast = null;
        if (moving.Length == 0)
            return false;
        RiskCurve[] curves = [.. paths.Select(path => RiskCurves.Of(path, last))];
        RiskCurve[] movingCurves = [.. curves.Where((_, i) => paths[i] is not StandingPath)];
        var (overall, alone) = Combine(moving, movingCurves);
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

    private static (RiskDay[] Overall, RiskDay[] Alone) Combine(FindingPath[] paths, RiskCurve[] curves)
    {
        var first = curves.Max(curve => curve.Days[0].Day);
        var length = curves[0].Days[^1].Day.DayNumber - first.DayNumber;
        var joint = new JointRisk(paths, first, length);
        RiskDay[] overall = new RiskDay[length + 1], alone = new RiskDay[length + 1];
        var (left, start) = (default(JointProbability), -1);
        foreach (var node in RiskCurves.Nodes(length))
        {
            var right = joint.On(first.AddDays(node));
            for (var i = start + 1; i <= node && i < overall.Length; i++)
            {
                var share = start < 0 ? 1 : (i - start) / (double)(node - start);
                var day = first.AddDays(i);
                overall[i] = Next(overall, i, day, double.Lerp(left.Any, right.Any, share), curves);
                alone[i] = Next(alone, i, day, double.Lerp(left.AnyAlone, right.AnyAlone, share), curves);
            }
            (left, start) = (right, node);
        }
        return (overall, alone);
    }

    // No less than any single finding: that holds for the draws of the joint risk too, but for the noise of their number.
    private static RiskDay Next(RiskDay[] days, int i, DateOnly day, double any, RiskCurve[] curves)
    {
        var (singleOn, singleBy) = (0.0, 0.0);
        foreach (var curve in curves)
        {
            var risk = curve.At(day);
            (singleOn, singleBy) = (Math.Max(singleOn, risk.OutOn), Math.Max(singleBy, risk.OutBy));
        }
        var outOn = Math.Max(any, singleOn);
        return new RiskDay(day, outOn, Math.Max(Math.Max(outOn, singleBy), i > 0 ? days[i - 1].OutBy : 0));
    }
}
