using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Priors;

/// <summary>
/// Learns the log-normal prior of the dynamics from the likelihoods of many series on the grid, by expectation and maximisation (Dempster, Laird and
/// Rubin 1977, J R Stat Soc B 39:1-38): what each series says of its own dynamics under the prior of the moment, then the prior that fits all of that best.
/// </summary>
public static class PriorFit
{
    /// <summary>Least spread of a logarithm: our choice. A herd of like horses must not make the service sure of the next one.</summary>
    public const double LeastLogSd = .4;

    /// <summary>Greatest spread of a logarithm: beyond it the prior is flat on the grid.</summary>
    public const double MostLogSd = 2;

    private const int MostRounds = 500;
    private const double Settled = 1e-9;
    private static readonly DynamicsPrior Start = new(new(.038, 1), new(75, 1), new(1.8, 1));

    /// <summary>The prior under which the series are most likely.</summary>
    /// <param name="series">Likelihood of each series at each point of the grid, up to a factor of its own, and how much it counts.</param>
    /// <param name="grid">The model whose grid it is.</param>
    public static DynamicsPrior Of(IReadOnlyList<WeighedLikelihood> series, TrendModel grid)
    {
        ArgumentNullException.ThrowIfNull(series);
        ArgumentNullException.ThrowIfNull(grid);
        var (axes, prior, before) = (new Axes(grid), Start, double.NegativeInfinity);
        var total = series.Sum(one => one.Share);
        for (var round = 0; round < MostRounds; round++)
        {
            var (counted, logLikelihood) = Expect(series, prior.WeightsOn(grid));
            if (logLikelihood - before < Settled * total)
                break;
            (prior, before) = (axes.Maximise(counted), logLikelihood);
        }
        return prior;
    }

    /// <summary>What a series says of its dynamics under a prior: prior times likelihood, made to sum to 1.</summary>
    /// <param name="prior">Weights of the prior at each point.</param>
    /// <param name="likelihood">Likelihood at each point, up to a factor.</param>
    public static double[] Posterior(IReadOnlyList<double> prior, IReadOnlyList<double> likelihood)
    {
        var posterior = new double[prior.Count];
        var total = 0.0;
        for (var i = 0; i < posterior.Length; i++)
            total += posterior[i] = prior[i] * likelihood[i];
        foreach (ref var weight in posterior.AsSpan())
            weight /= total;
        return posterior;
    }

    private static (double[] Counted, double LogLikelihood) Expect(IReadOnlyList<WeighedLikelihood> series, double[] prior)
    {
        var (counted, logLikelihood) = (new double[prior.Length], 0.0);
        var posterior = new double[prior.Length];
        foreach (var (likelihood, share) in series)
        {
            var total = 0.0;
            for (var i = 0; i < prior.Length; i++)
                total += posterior[i] = prior[i] * likelihood[i];
            for (var i = 0; i < prior.Length; i++)
                counted[i] += share * posterior[i] / total;
            logLikelihood += share * Math.Log(total);
        }
        return (counted, logLikelihood);
    }

    private sealed class Axes(TrendModel grid)
    {
        private readonly GridAxis rate = new(grid.RateSds);
        private readonly GridAxis tau = new(grid.TausDays);
        private readonly GridAxis session = new(grid.SessionSds);

        public DynamicsPrior Maximise(double[] counted)
        {
            var (rates, taus, sessions) = (new double[rate.Count], new double[tau.Count], new double[session.Count]);
            for (var i = 0; i < counted.Length; i++)
            {
                rates[i / (tau.Count * session.Count)] += counted[i];
                taus[i / session.Count % tau.Count] += counted[i];
                sessions[i % session.Count] += counted[i];
            }
            return new DynamicsPrior(rate.Match(rates), tau.Match(taus), session.Match(sessions));
        }
    }
}

/// <summary>The likelihood of a series at each point of the grid.</summary>
/// <param name="Likelihood">The likelihoods, up to a factor.</param>
/// <param name="Share">How much it counts: the series of one horse share 1 among them, so that a horse with many stations counts once.</param>
public readonly record struct WeighedLikelihood(IReadOnlyList<double> Likelihood, double Share);
