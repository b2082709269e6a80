using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Priors;

/// <summary>A quantity above zero whose logarithm is normal.</summary>
/// <param name="Median">Its median.</param>
/// <param name="LogSd">Standard deviation of its natural logarithm.</param>
public readonly record struct LogNormal(double Median, double LogSd)
{
    /// <summary>Log density at the nodes of a grid, up to a constant.</summary>
    internal double LogAt(double node)
    {
        var off = Math.Log(node / Median) / LogSd;
        return -.5 * off * off;
    }
}

/// <summary>What is assumed of the dynamics of a metric before a horse is seen, for a metric with a within-session SD of 2 units.</summary>
/// <param name="Rate">Stationary standard deviation of the rate, unit a day.</param>
/// <param name="Tau">Memory of the rate, days.</param>
/// <param name="Session">Between-session standard deviation, unit.</param>
public sealed record DynamicsPrior(LogNormal Rate, LogNormal Tau, LogNormal Session)
{
    /// <summary>Its weight at each point of a model's grid, in the order of the grid; they sum to 1.</summary>
    /// <param name="grid">The model whose grid it is laid on.</param>
    public double[] WeightsOn(TrendModel grid)
    {
        ArgumentNullException.ThrowIfNull(grid);
        var weights = new double[grid.RateSds.Count * grid.TausDays.Count * grid.SessionSds.Count];
        var (place, total) = (0, 0.0);
        foreach (var rate in grid.RateSds)
            foreach (var tau in grid.TausDays)
                foreach (var session in grid.SessionSds)
                    total += weights[place++] = Math.Exp(Rate.LogAt(rate) + Tau.LogAt(tau) + Session.LogAt(session));
        foreach (ref var weight in weights.AsSpan())
            weight /= total;
        return weights;
    }
}
