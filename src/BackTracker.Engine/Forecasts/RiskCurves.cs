using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Forecasts;

/// <summary>
/// Makes risk curves. The forecast is worked out every seventh day from the day of the last evidence on, after half a year every fourth
/// week, and drawn straight in between: it bends slowly and ever less, and the nodes hang on the facts alone, so that asking on another
/// day gives the same curve.
/// </summary>
internal static class RiskCurves
{
    private const int NearDays = 182;

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
        var i = 0;
        for (var left = At(0); i < length;)
        {
            var (start, span) = (i, i < NearDays ? 7 : 28);
            var right = At(start + span);
            for (; i < length && i < start + span; i++)
            {
                var node = left.Towards(right, (i - start) / (double)span);
                highest = Math.Max(highest, node.OutOn);
                days[i] = new RiskDay(first.AddDays(i), node.OutOn, highest);
                if (pairing.Tolerances.IsOut(node.MismatchMm))
                    expectedOut ??= first.AddDays(i);
            }
            left = right;
        }
        return new RiskCurve(width.Station, days, expectedOut);

        Node At(int daysAhead)
        {
            var numbers = WidthFit.Numbers(width.Width150Mm, trend, pairing.Tolerances, policy, first.AddDays(daysAhead));
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
