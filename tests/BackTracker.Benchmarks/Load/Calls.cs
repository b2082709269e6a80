namespace BackTracker.Benchmarks.Load;

/// <summary>A request as its caller saw it.</summary>
/// <param name="Kind">What was asked.</param>
/// <param name="AtSeconds">When it was answered, since the traffic began.</param>
/// <param name="Ms">How long the answer took; at a fixed rate since it was to be sent.</param>
/// <param name="IsWrong">Whether the answer was not one to expect.</param>
internal readonly record struct Call(string Kind, double AtSeconds, double Ms, bool IsWrong);

/// <summary>What the callers saw.</summary>
internal static class Calls
{
    /// <summary>Prints a line for each kind and one for all.</summary>
    public static void Report(IReadOnlyList<Call> calls, double seconds)
    {
        Say.Line($"{"",-22}{"count",8}{"/s",9}{"p50 ms",9}{"p95 ms",9}{"p99 ms",9}{"max ms",9}{"errors",8}");
        foreach (var kind in calls.GroupBy(call => call.Kind).OrderBy(kind => kind.Key, StringComparer.Ordinal))
            ReportLine(kind.Key, [.. kind], seconds);
        ReportLine("all", calls, seconds);
    }

    /// <summary>A quantile of the times, ms; 0 where there are none.</summary>
    public static double Quantile(IEnumerable<double> ms, double probability)
    {
        var sorted = ms.Order().ToArray();
        return sorted.Length == 0 ? 0 : sorted[Math.Min(sorted.Length - 1, (int)(probability * sorted.Length))];
    }

    private static void ReportLine(string kind, IReadOnlyList<Call> calls, double seconds)
    {
        double At(double probability) => Quantile(calls.Select(call => call.Ms), probability);
        Say.Line($"{kind,-22}{calls.Count,8}{calls.Count / seconds,9:F1}{At(.5),9:F1}{At(.95),9:F1}{At(.99),9:F1}{At(1),9:F1}{calls.Count(call => call.IsWrong),8}");
    }
}
