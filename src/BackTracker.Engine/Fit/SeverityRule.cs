using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Fit;

/// <summary>From numbers to a severity, with the rule that a flag comes off later than it goes on.</summary>
public static class SeverityRule
{
    /// <summary>
    /// Out from <see cref="CheckPolicy.OutProbability"/> on. Watch from <see cref="CheckPolicy.WatchProbability"/> on, or with the expected
    /// mismatch beyond a watch limit; a finding that was watched or out stays watched until its probability is under
    /// <see cref="CheckPolicy.ClearProbability"/>. Else ok.
    /// </summary>
    /// <param name="probabilityOut">Probability of being out on the day.</param>
    /// <param name="mismatchMm">Expected mismatch, mm, + = tree wide.</param>
    /// <param name="limits">Limits of the mismatch.</param>
    /// <param name="last">Severity in the assessment before; unknown where there was none.</param>
    /// <param name="policy">Settings.</param>
    public static Severity Of(double probabilityOut, double mismatchMm, WidthTolerances limits, Severity last, CheckPolicy policy)
    {
        if (probabilityOut >= policy.OutProbability)
            return Severity.Out;
        var beyondWatch = mismatchMm >= limits.WatchWideMm || mismatchMm <= -limits.WatchNarrowMm;
        if (beyondWatch || probabilityOut >= policy.WatchProbability)
            return Severity.Watch;
        return last is Severity.Watch or Severity.Out && probabilityOut >= policy.ClearProbability ? Severity.Watch : Severity.Ok;
    }
}
