using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Fit;

/// <summary>From numbers to a severity, with the rule that a flag comes off later than it goes on.</summary>
public static class SeverityRule
{
    /// <summary>
    /// Out from <see cref="CheckPolicy.OutProbability"/> on. Watch from <see cref="CheckPolicy.WatchProbability"/> on, or with the expected
    /// value at a watch limit; a finding that was watched or out stays watched until its probability is under
    /// <see cref="CheckPolicy.ClearProbability"/>. Else ok. What is of the horse and not of the saddle is watched at most.
    /// </summary>
    /// <param name="measure">The measure.</param>
    /// <param name="numbers">Numbers of the day.</param>
    /// <param name="limits">Limits of the value.</param>
    /// <param name="last">Severity in the assessment before; unknown where there was none.</param>
    /// <param name="policy">Settings.</param>
    public static Severity Of(Measure measure, in FindingNumbers numbers, Limits limits, Severity last, CheckPolicy policy)
    {
        if (numbers.ProbabilityOut >= policy.OutProbability && MeasureFacts.IsOfSaddle(measure))
            return Severity.Out;
        if (limits.IsWatched(numbers.Value) || numbers.ProbabilityOut >= policy.WatchProbability)
            return Severity.Watch;
        return last is Severity.Watch or Severity.Out && numbers.ProbabilityOut >= policy.ClearProbability ? Severity.Watch : Severity.Ok;
    }
}
