using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Forecasts;

/// <summary>
/// Makes risk curves. The forecast is worked out every seventh day from the day of the last evidence on and drawn straight in between:
/// it bends slowly, and the nodes hang on the facts alone, so that asking on another day gives the same curve.
/// </summary>
internal static class RiskCurves
{
    private const int NodeDays = 7;

    /// <summary>The curves of a pairing up to <paramref name="today"/> and the horizon beyond it, from front to rear; empty where nothing can be compared.</summary>
    public static IReadOnlyList<RiskCurve> Of(PairingFact pairing, HorseTrends trends, CheckPolicy policy, DateOnly today)
    {
        if (EffectiveTree.On(pairing, today) is not { } tree)
            return [];
        var curves = new List<RiskCurve>();
        foreach (var width in tree.Widths)
        {
            if (trends.TryGet(Metric.Width(width.Station, WidthFit.DepthMm), out var trend))
                curves.Add(CurveOf(pairing, tree, width, trend, policy, today));
        }
        return curves;
    }

    private static RiskCurve CurveOf(
        PairingFact pairing, EffectiveTree tree, TreeWidth width, MetricTrend trend, CheckPolicy policy, DateOnly today)
    {
        var first = Latest(trend.Series.Points[^1].On, Latest(tree.Since, pairing.From));
        var length = Math.Max(0, today.DayNumber - first.DayNumber) + policy.HorizonDays + 1;
        var days = new RiskDay[length];
        DateOnly? expectedOut = null;
        var highest = 0.0;
        Node left = At(first), right = left;
        for (var i = 0; i < length; i++)
        {
            var step = i % NodeDays;
            if (step == 0)
                (left, right) = (right, At(first.AddDays(i + NodeDays)));
            var between = left.Towards(right, step / (double)NodeDays);
            highest = Math.Max(highest, between.OutOn);
            var day = first.AddDays(i);
            days[i] = new RiskDay(day, between.OutOn, highest);
            if (expectedOut is null && pairing.Tolerances.IsOut(between.MismatchMm))
                expectedOut = day;
        }
        return new RiskCurve(width.Station, days, expectedOut);

        Node At(DateOnly day)
        {
            var numbers = WidthFit.Numbers(width.Width150Mm, trend, pairing.Tolerances, policy, day);
            return new Node(numbers.ProbabilityOut, numbers.MismatchMm);
        }
    }

    private static DateOnly Latest(DateOnly a, DateOnly b) => a > b ? a : b;

    private readonly record struct Node(double OutOn, double MismatchMm)
    {
        public Node Towards(Node other, double share) =>
            new(OutOn + (share * (other.OutOn - OutOn)), MismatchMm + (share * (other.MismatchMm - MismatchMm)));
    }
}
