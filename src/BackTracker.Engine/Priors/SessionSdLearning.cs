using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;

namespace BackTracker.Engine.Priors;

/// <summary>Learns how far repeats of a quantity lie apart, over all horses and measurers.</summary>
internal static class SessionSdLearning
{
    // Repeats that always agree were copied, and a few wild ones must not widen everything: our choice.
    private const double LeastShare = .5;
    private const double MostShare = 2;

    /// <summary>The SD of each quantity that was repeated on enough horses.</summary>
    /// <param name="repeats">Scatter of each horse by quantity.</param>
    public static IEnumerable<LearnedSessionSd> Of(IEnumerable<(Quantity Quantity, RepeatScatter Scatter)> repeats)
    {
        foreach (var own in repeats.Where(one => one.Scatter.DegreesOfFreedom > 0).GroupBy(one => one.Quantity).OrderBy(own => own.Key))
        {
            var (horses, scatter) = (own.Count(), RepeatScatter.Sum(own.Select(one => one.Scatter)));
            if (horses < PriorLearning.LeastHorses)
                continue;
            var start = new Metric(own.Key).StartingSessionSd;
            yield return new LearnedSessionSd(own.Key, horses, scatter.DegreesOfFreedom, Math.Clamp(scatter.Sd, LeastShare * start, MostShare * start));
        }
    }
}
