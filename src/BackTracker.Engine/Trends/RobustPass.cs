using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Trends;

/// <summary>The result of one run of <see cref="RobustFilter"/>.</summary>
public sealed class RobustPass
{
    private readonly RobustSettings settings;
    private readonly List<RobustStep> steps;
    private readonly RateChange[] later;
    private readonly double[] mean;
    private readonly double[,] cov;

    internal RobustPass(RobustSettings settings, List<RobustStep> steps, double logLikelihood, double[] mean, double[,] cov, RateChange[] later)
    {
        (this.settings, this.steps, this.mean, this.cov, this.later) = (settings, steps, mean, cov, later);
        LogLikelihood = logLikelihood;
    }

    /// <summary>Log-likelihood of the observations; of the rest given the first under a flat level prior.</summary>
    public double LogLikelihood { get; }

    /// <summary>Level, rate and static states after the last observation.</summary>
    public IReadOnlyList<double> State => mean;

    /// <summary>Covariance of two of the states after the last observation.</summary>
    public double Covariance(int first, int second) => cov[first, second];

    /// <summary>Mean and variance of a sum of states on a day at or after the last observation.</summary>
    /// <param name="day">The day; changes of rate up to it are included.</param>
    /// <param name="design">Share of each state in the sum: level, rate, static states.</param>
    public (double Mean, double Var) Forecast(double day, IReadOnlyList<double> design)
    {
        var (m, p, now) = (mean, cov, steps.Count == 0 ? day : steps[^1].Day);
        foreach (var change in later.Where(change => change.Day <= day))
        {
            (m, p) = Ahead(m, p, change.Day - now);
            m[1] += change.Mean;
            p[1, 1] += change.Sd * change.Sd;
            now = change.Day;
        }
        (m, p) = Ahead(m, p, day - now);
        var h = design.ToArray();
        return (Dense.Dot(h, m), Dense.Dot(h, Dense.Times(p, h)));
    }

    /// <summary>
    /// Smoothed moments of every stop, by the recursion of Rauch, Tung and Striebel 1965 (AIAA Journal 3:1445-1450) on the collapsed moments;
    /// a step or kink widens the prediction by as much as its observation made it likely. For drawing, never for decisions.
    /// </summary>
    internal IReadOnlyList<(double Day, double[] Mean, double[,] Cov)> Smoothed()
    {
        var result = new (double Day, double[] Mean, double[,] Cov)[steps.Count];
        for (var i = steps.Count - 1; i >= 0; i--)
        {
            var (m, p) = (steps[i].Mean, steps[i].Cov);
            result[i] = (steps[i].Day, m, p);
            if (i == steps.Count - 1)
                continue;
            var next = steps[i + 1];
            var gain = Dense.Transposed(Dense.SolveSymmetric(next.PredictedCov, Dense.Product(next.A, p)));
            var difference = result[i + 1].Mean.Zip(next.PredictedMean, (smoothed, predicted) => smoothed - predicted).ToArray();
            var correction = (double[,])result[i + 1].Cov.Clone();
            Dense.Add(correction, -1, next.PredictedCov);
            var cov = Dense.Sandwich(gain, correction);
            Dense.Add(cov, 1, p);
            result[i] = (steps[i].Day, m.Zip(Dense.Times(gain, difference), (filtered, shift) => filtered + shift).ToArray(), cov);
        }
        return result;
    }

    internal static double[,] TransitionMatrix(int size, in Transition t)
    {
        var a = Dense.Identity(size);
        a[0, 1] = t.LevelFromRate;
        a[1, 1] = t.RateDecay;
        return a;
    }

    internal static void AddNoise(double[,] cov, RobustSettings settings, in Transition t, double days)
    {
        cov[0, 0] += settings.DrivingVar * t.LevelVar + settings.LevelNoise * settings.LevelNoise * days;
        cov[0, 1] += settings.DrivingVar * t.LevelRateCov;
        cov[1, 0] += settings.DrivingVar * t.LevelRateCov;
        cov[1, 1] += settings.DrivingVar * t.RateVar;
    }

    private (double[] Mean, double[,] Cov) Ahead(double[] m, double[,] p, double days)
    {
        var t = days > 0 ? Transition.Over(days, settings.TauDays) : Transition.None;
        var a = TransitionMatrix(settings.Size, t);
        var ahead = Dense.Sandwich(a, p);
        AddNoise(ahead, settings, t, days);
        return (Dense.Times(a, m), ahead);
    }
}
