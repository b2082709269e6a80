using BackTracker.Engine.Fit;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Forecasts;

/// <summary>
/// Makes risk curves. A finding is worked out on the days of <see cref="PathGrid"/> from that of its last evidence on, and its risk drawn
/// straight in between: it bends slowly and ever less, and the nodes hang on the facts alone, so that asking on
/// another day gives the same curve.
/// </summary>
internal static class RiskCurves
{
    /// <summary>Every day up to a length, from what is known at the nodes: the node before, the node after, and how far between them it lies.</summary>
    public static IEnumerable<(int Before, int After, double Share)> Days(int length)
    {
        int[] nodes = [.. PathGrid.DaysTo(length)];
        var after = 0;
        for (var day = 0; day <= length; day++)
        {
            if (day > nodes[after])
                after++;
            yield return after == 0 ? (0, 0, 1) : (after - 1, after, (day - nodes[after - 1]) / (double)(nodes[after] - nodes[after - 1]));
        }
    }

    /// <summary>The curve of a finding to <paramref name="last"/>.</summary>
    /// <param name="path">The finding.</param>
    /// <param name="last">Last day.</param>
    /// <param name="by">Probability of having been out by each node; none where the finding stands still.</param>
    public static RiskCurve Of(FindingPath path, DateOnly last, double[] by)
    {
        var days = new RiskDay[Math.Max(0, last.DayNumber - path.EvidenceOn.DayNumber) + 1];
        FindingNumbers[] nodes = [.. PathGrid.DaysTo(days.Length - 1).Select(node => path.On(path.EvidenceOn.AddDays(node)))];
        DateOnly? expectedOut = null;
        var (highest, i) = (0.0, 0);
        foreach (var (before, after, share) in Days(days.Length - 1))
        {
            var on = double.Lerp(nodes[before].ProbabilityOut, nodes[after].ProbabilityOut, share);
            highest = Math.Max(Math.Max(highest, on), by.Length == 0 ? 0 : double.Lerp(by[before], by[after], share));
            days[i] = new RiskDay(path.EvidenceOn.AddDays(i), on, highest);
            if (path.Limits.IsOut(double.Lerp(nodes[before].Value, nodes[after].Value, share)))
                expectedOut ??= days[i].Day;
            i++;
        }
        return new RiskCurve(path.Key, path.Near, days, expectedOut);
    }
}
