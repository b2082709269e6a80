using System.Globalization;
using BackTracker.Engine.Advice;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Commissions;

/// <summary>A width that is expected of the back.</summary>
/// <param name="Metric">Which.</param>
/// <param name="MeanMm">Expected, mm.</param>
/// <param name="LowMm">Lower end of the 80 % band, mm.</param>
/// <param name="HighMm">Upper end of the 80 % band, mm.</param>
public readonly record struct ExpectedWidth(Metric Metric, double MeanMm, double LowMm, double HighMm);

/// <summary>How the tree will lie on a day.</summary>
/// <param name="On">The day.</param>
/// <param name="ProbabilityFits">Probability that nothing is out of tolerance on that day; null where tree and back cannot be compared.</param>
/// <param name="Findings">The findings.</param>
/// <param name="Back">Widths expected of the back.</param>
public sealed record OutlookDay(DateOnly On, double? ProbabilityFits, IReadOnlyList<Finding> Findings, IReadOnlyList<ExpectedWidth> Back);

/// <summary>By how much to open or close the tree so that it fits longest.</summary>
/// <param name="OpenMm">How far each outer edge is moved out, mm; negative closes it.</param>
/// <param name="ProbabilityFitsOnDelivery">Of what only the tree can cure: probability of being in tolerance on the day of delivery.</param>
/// <param name="LikelyUntil">First day from delivery on which that probability is below 1 less the limit of risk; null where it stays above within the horizon.</param>
/// <param name="ProbabilityFitsAtEnd">The same probability at the end of the horizon, six months after delivery.</param>
public readonly record struct CutOption(double OpenMm, double ProbabilityFitsOnDelivery, DateOnly? LikelyUntil, double ProbabilityFitsAtEnd)
{
    /// <summary>What to do, in words.</summary>
    public string Text => OpenMm switch
    {
        > 0 => string.Create(CultureInfo.InvariantCulture, $"Open each side by {OpenMm:0.#} mm."),
        < 0 => string.Create(CultureInfo.InvariantCulture, $"Close each side by {-OpenMm:0.#} mm."),
        _ => "As planned.",
    };
}

/// <summary>
/// What becomes of a tree that is being made: the back expected on the day it comes home and after, whether the tree will fit it, and what shape to
/// cut. The panel is the one that is planned, since a bare tree against the skin reads a whole fitting wrong.
/// </summary>
/// <param name="planned">The saddle on the horse with one shape of its tree, as ordered or as measured since it came, and its planned panel.</param>
/// <param name="trends">Trends of the horse as of today.</param>
/// <param name="policy">Settings.</param>
/// <param name="today">Today.</param>
/// <param name="deliveryOn">The day it is to come home.</param>
public sealed class DeliveryOutlook(PairingFact planned, HorseTrends trends, CheckPolicy policy, DateOnly today, DateOnly deliveryOn)
{
    /// <summary>Probability of fitting on the day of delivery below which people are told (our choice).</summary>
    public const double AtRisk = .5;

    private const double LowerTail = .1;

    /// <summary>Days after delivery that are looked at: delivery, 3 months, 6 months.</summary>
    private static readonly int[] LookDays = [0, 91, 182];

    private const double MostMm = 20;

    // Each opening tried is a whole forecast, so wide steps find the place and narrow ones the millimetre.
    private static readonly double[] StepsMm = [4, 2, 1];

    // Compared as if it were there today: only what is there already can be laid on the back that is expected.
    private readonly PairingFact there = (planned with { From = today }).Changed(today);
    private readonly Dictionary<double, CutOption?> tried = [];
    private PairingFit? fit;

    private DateOnly Last => deliveryOn.AddDays(LookDays[^1]);

    private PairingFit AsItIs => fit ??= FitOf(there, FitScope.Whole);

    /// <summary>The outlook of a commission. What was to come home already is looked at as if it came today.</summary>
    /// <param name="commission">The commission as of today.</param>
    /// <param name="trends">Trends of the horse as of today.</param>
    /// <param name="policy">Settings.</param>
    /// <param name="today">Today.</param>
    public static DeliveryOutlook Of(CommissionFact commission, HorseTrends trends, CheckPolicy policy, DateOnly today) =>
        new(commission.Laid, trends, policy, today, DayOrder.Later(commission.DeliveryOn, today));

    /// <summary>The days looked at, in order.</summary>
    public IReadOnlyList<OutlookDay> Days()
    {
        var forecast = PairingForecast.TryMake(AsItIs, Last, out var made) ? made : null;
        return [.. LookDays.Select(days => deliveryOn.AddDays(days)).Select(day => new OutlookDay(
            day, forecast is null ? null : 1 - forecast.At(day).OutOn, AsItIs.On(day), BackOn(day)))];
    }

    /// <summary>Which measurements would bring what is unknown, in words.</summary>
    public IReadOnlyList<string> Missing => AsItIs.Missing;

    /// <summary>The tree as it is planned, judged by what only the tree can cure; null where tree and back cannot be compared.</summary>
    public CutOption? AsPlanned() => Option(0);

    /// <summary>
    /// The opening with which the tree fits longest: of those that are likely to fit on the day of delivery the one that stays so longest; among equals
    /// the one most likely to fit at the end of the horizon. Where none is likely to fit on the day of delivery, the likeliest. Null where tree and
    /// back cannot be compared.
    /// </summary>
    public CutOption? Best()
    {
        if (Option(0) is not { } best)
            return null;
        foreach (var step in StepsMm)
            best = Climb(best, step);
        return best;
    }

    // Step by step to the better side until neither is better. What lies within all limits lies between two openings, and the nearer their middle the
    // longer: there is one summit. Where it is too far off to be felt, every wide step of the way is looked at.
    private CutOption Climb(CutOption from, double stepMm)
    {
        CutOption[] around = [.. new[] { from.OpenMm, from.OpenMm - stepMm, from.OpenMm + stepMm }.Where(mm => Math.Abs(mm) <= MostMm).Select(Option).OfType<CutOption>()];
        var best = around.MaxBy(Worth);
        if (best.OpenMm != from.OpenMm)
            return Climb(best, stepMm);
        return stepMm < StepsMm[0] || around.Skip(1).Any(option => Worth(option) != Worth(from)) ? from : WideSteps().MaxBy(Worth);
    }

    private IEnumerable<CutOption> WideSteps()
    {
        for (var mm = -MostMm; mm <= MostMm; mm += StepsMm[0])
        {
            if (Option(mm) is { } option)
                yield return option;
        }
    }

    private (double Fits, int Days, double FitsAtEnd) Worth(CutOption option)
    {
        var likely = option.ProbabilityFitsOnDelivery >= 1 - policy.RiskLimit;
        var days = option.LikelyUntil is { } until ? until.DayNumber - deliveryOn.DayNumber : int.MaxValue;
        return (likely ? 1 : option.ProbabilityFitsOnDelivery, likely ? days : 0, option.ProbabilityFitsAtEnd);
    }

    private CutOption? Option(double openMm)
    {
        if (!tried.TryGetValue(openMm, out var option))
            tried.Add(openMm, option = Try(openMm));
        return option;
    }

    private CutOption? Try(double openMm)
    {
        var ofWidth = FitOf(Opened(openMm), FitScope.Width).OfSaddle;
        RiskCurve[] curves = [.. ofWidth.Select(path => RiskCurves.Of(path, Last, []))];
        if (curves.Length == 0)
            return null;
        double FitsOn(DateOnly day) => 1 - curves.Max(curve => curve.At(day).OutOn);
        var unlikely = Enumerable.Range(0, LookDays[^1] + 1).Select(day => deliveryOn.AddDays(day)).Where(day => FitsOn(day) < 1 - policy.RiskLimit);
        return new CutOption(openMm, FitsOn(deliveryOn), unlikely.Select(day => (DateOnly?)day).FirstOrDefault(), FitsOn(Last));
    }

    // Every side of every zone by the same: it is the width that is searched for, not another form.
    private PairingFact Opened(double openMm) => there.Changed(
        today, (AdjustmentKind.Tree, [.. from side in Enum.GetValues<Side>() from zone in Enum.GetValues<Zone>() select new ZoneChange(side, zone, openMm)]));

    private PairingFit FitOf(PairingFact pairing, FitScope scope) => new(pairing, trends, policy, today, (today, Last), scope);

    private List<ExpectedWidth> BackOn(DateOnly day)
    {
        var widths = new List<ExpectedWidth>();
        foreach (var metric in trends.MeasuredWidths)
        {
            if (trends.TryGet(metric, out var trend) && trend.On(day) is { IsKnown: true } level)
                widths.Add(new ExpectedWidth(metric, level.Mean, level.Quantile(LowerTail), level.Quantile(1 - LowerTail)));
        }
        return widths;
    }
}
