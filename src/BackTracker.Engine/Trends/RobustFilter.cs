namespace BackTracker.Engine.Trends;

/// <summary>
/// The robust filter in general form: any number of static states, any mixture, one point of dynamics, every component in Joseph form.
/// <see cref="GridFilter"/> does the same for five states and a grid, fast; the two agree to rounding.
/// </summary>
public static class RobustFilter
{
    /// <summary>Filters observations and changes of rate, in any order of days.</summary>
    /// <exception cref="ArgumentException">An observation is certain beforehand, so that its density does not exist.</exception>
    public static RobustPass Run(RobustSettings settings, IReadOnlyList<RobustObservation> observations, IReadOnlyList<RateChange> changes) =>
        Run(settings, observations, changes, []);

    internal static RobustPass Run(
        RobustSettings settings, IReadOnlyList<RobustObservation> observations, IReadOnlyList<RateChange> changes, IReadOnlyList<double> lookDays)
    {
        ArgumentNullException.ThrowIfNull(settings);
        var run = new RobustRun(settings);
        foreach (var visit in Visits(observations, changes, lookDays))
            run.Take(visit);
        return new RobustPass(settings, run.Steps, run.LogLikelihood, run.Mean, run.Cov, LaterThan(observations, changes));
    }

    // On one day: changes, then observations, then looks. Changes before the first observation do nothing.
    private static IEnumerable<Visit> Visits(
        IReadOnlyList<RobustObservation> observations, IReadOnlyList<RateChange> changes, IReadOnlyList<double> lookDays)
    {
        if (observations.Count == 0)
            return [];
        var (first, last) = (observations.Min(o => o.Day), observations.Max(o => o.Day));
        return changes.Where(change => change.Day >= first && change.Day <= last).Select(change => new Visit(change.Day, change, null))
            .Concat(observations.Select(observation => new Visit(observation.Day, null, observation)))
            .Concat(lookDays.Select(day => new Visit(day, null, null)))
            .OrderBy(visit => visit.Day);
    }

    private static RateChange[] LaterThan(IReadOnlyList<RobustObservation> observations, IReadOnlyList<RateChange> changes)
    {
        var last = observations.Count == 0 ? double.NegativeInfinity : observations.Max(o => o.Day);
        return [.. changes.Where(change => change.Day > last).OrderBy(change => change.Day)];
    }
}

/// <summary>A stop of the general filter: a change of rate, an observation, or neither (a look at the state).</summary>
internal readonly record struct Visit(double Day, RateChange? Change, RobustObservation? Observation);

/// <summary>What the smoother must remember of a stop.</summary>
/// <param name="Day">Its day.</param>
/// <param name="A">Transition into it.</param>
/// <param name="PredictedMean">Mean before its observation.</param>
/// <param name="PredictedCov">Covariance before its observation, with the part of step and kink that the observation made likely.</param>
/// <param name="Mean">Mean after it.</param>
/// <param name="Cov">Covariance after it.</param>
/// <param name="Surprises">Probabilities of the surprises at it.</param>
internal sealed record RobustStep(
    double Day, double[,] A, double[] PredictedMean, double[,] PredictedCov, double[] Mean, double[,] Cov, SurpriseProbabilities Surprises);
