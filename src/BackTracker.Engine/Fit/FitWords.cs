using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit;

/// <summary>Findings in words.</summary>
internal static class FitWords
{
    public static string Measure(Station station) => $"Measure {station} width at {WidthFit.DepthMm} mm.";

    public static string Unknown(Station station) => $"Not known at {station}. {Measure(station)}";

    public static string Finding(Station station, in WidthNumbers numbers, WidthTolerances limits, Severity severity) =>
        $"{StandingOf(severity)} {Mismatch(station, numbers, limits)}: chance of being out {Words.Percent(numbers.ProbabilityOut)}.";

    /// <summary>"Tree 6 mm narrower than the back at T13 (limit 14)"; names the side of the limit where it is not the side of the mismatch.</summary>
    public static string Mismatch(Station station, in WidthNumbers numbers, WidthTolerances limits)
    {
        var narrowNow = numbers.MismatchMm < 0;
        var narrowLikelier = numbers.ProbabilityNarrow == numbers.ProbabilityWide ? narrowNow : numbers.ProbabilityNarrow > numbers.ProbabilityWide;
        var limit = Words.Whole(narrowLikelier ? limits.OutNarrowMm : limits.OutWideMm);
        var size = Words.Whole(Math.Abs(numbers.MismatchMm));
        if (size == "0")
            return $"Tree as wide as the back at {station} (limit {limit} mm {(narrowLikelier ? "narrower" : "wider")})";
        var side = narrowLikelier == narrowNow ? "" : narrowLikelier ? " mm narrower" : " mm wider";
        return $"Tree {size} mm {(narrowNow ? "narrower" : "wider")} than the back at {station} (limit {limit}{side})";
    }

    private static string StandingOf(Severity severity) => severity switch
    {
        Severity.Out => "Out of tolerance.",
        Severity.Watch => "Keep an eye on it.",
        Severity.Ok => "Within tolerance.",
        _ => "Not known.",
    };
}
