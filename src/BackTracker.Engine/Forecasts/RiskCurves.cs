using BackTracker.Engine.Fit;

namespace BackTracker.Engine.Forecasts;

/// <summary>
/// Makes risk curves. A finding is worked out every seventh day from the day of its last evidence on, after half a year every fourth
/// week, and its risk drawn straight in between: it bends slowly and ever less, and the nodes hang on the facts alone, so that asking on
/// another day gives the same curve.
/// </summary>
internal static class RiskCurves
{
    private const int NearDays = 182;

    /// <summary>Days after the first on which a curve is worked out, to the one at or beyond a length.</summary>
    public static IEnumerable<int> Nodes(int length)
    {
        var node = 0;
        for (; node < length; node += node < NearDays ? 7 : 28)
            yield return node;
        yield return node;
    }

    /// <summary>The curve of a finding to <paramref name="last"/>.</summary>
    public static RiskCurve Of(FindingPath path, DateOnly last)
    {
        var days = new RiskDay[Math.Max(0, last.DayNumber - path.EvidenceOn.DayNumber) + 1];
        DateOnly? expectedOut = null;
        var (highest, left, start) = (0.0, default(FindingNumbers), -1);
        foreach (var node in Nodes(days.Length - 1))
        {
            var right = path.On(path.EvidenceOn.AddDays(node));
            for (var i = start + 1; i <= node && i < days.Length; i++)
            {
                var share = start < 0 ? 1 : (i - start) / (double)(node - start);
                var outOn = double.Lerp(left.ProbabilityOut, right.ProbabilityOut, share);
                highest = Math.Max(highest, outOn);
                days[i] = new RiskDay(path.EvidenceOn.AddDays(i), outOn, highest);
                if (path.Limits.IsOut(double.Lerp(left.Value, right.Value, share)))
                    expectedOut ??= days[i].Day;
            }
            (left, start) = (right, node);
        }
        return new RiskCurve(path.Key, path.Near, days, expectedOut);
    }
}
