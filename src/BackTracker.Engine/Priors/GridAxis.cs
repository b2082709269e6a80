namespace BackTracker.Engine.Priors;

/// <summary>One axis of the grid: finds the log-normal which, laid on its nodes, has the mean and variance of given weights.</summary>
/// <param name="nodes">The nodes, growing.</param>
internal sealed class GridAxis(IReadOnlyList<double> nodes)
{
    // Halvings of the axis and of the range of spreads: to nine digits.
    private const int Halvings = 30;

    private readonly double[] logs = [.. nodes.Select(node => Math.Log(node))];

    public int Count => logs.Length;

    /// <summary>
    /// The most likely log-normal for weights that were counted at the nodes. Laid on nodes it is an exponential family, so that its likelihood is greatest
    /// where its first two moments are those counted. The median stays on the axis and the spread between its bounds.
    /// </summary>
    public LogNormal Match(ReadOnlySpan<double> weights)
    {
        var (mean, var) = Moments(weights);
        var (low, high) = (PriorFit.LeastLogSd, PriorFit.MostLogSd);
        for (var i = 0; i < Halvings; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = VarAt(CentreFor(mean, middle), middle) < var ? (middle, high) : (low, middle);
        }
        var sd = VarAt(CentreFor(mean, PriorFit.LeastLogSd), PriorFit.LeastLogSd) >= var ? PriorFit.LeastLogSd : (low + high) / 2;
        return new LogNormal(Math.Exp(CentreFor(mean, sd)), sd);
    }

    private double CentreFor(double mean, double sd)
    {
        var (low, high) = (logs[0], logs[^1]);
        for (var i = 0; i < Halvings; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = MomentsAt(middle, sd).Mean < mean ? (middle, high) : (low, middle);
        }
        return (low + high) / 2;
    }

    private double VarAt(double centre, double sd) => MomentsAt(centre, sd).Var;

    private (double Mean, double Var) MomentsAt(double centre, double sd)
    {
        Span<double> weights = stackalloc double[logs.Length];
        for (var k = 0; k < logs.Length; k++)
        {
            var off = (logs[k] - centre) / sd;
            weights[k] = Math.Exp(-.5 * off * off);
        }
        return Moments(weights);
    }

    private (double Mean, double Var) Moments(ReadOnlySpan<double> weights)
    {
        double total = 0, sum = 0, square = 0;
        for (var k = 0; k < logs.Length; k++)
        {
            total += weights[k];
            sum += weights[k] * logs[k];
            square += weights[k] * logs[k] * logs[k];
        }
        var mean = sum / total;
        return (mean, (square / total) - (mean * mean));
    }
}
