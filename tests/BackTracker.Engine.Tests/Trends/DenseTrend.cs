using MathNet.Numerics.LinearAlgebra;

namespace BackTracker.Engine.Tests.Trends;

/// <summary>
/// The trend as one Gaussian vector, without any filter: covariances of levels by integrals over the driving noise, solved as a whole with
/// MathNet.Numerics. Cov(L(t), L(u)) = v0 + g(t)g(u) s0 + sigma^2 int g(t-s)g(u-s) ds with g(w) = tau(1 - e^(-w/tau)).
/// </summary>
internal sealed class DenseTrend
{
    private readonly double tau;
    private readonly double drivingVar;
    private readonly double levelVar;
    private readonly double rateVar;

    public DenseTrend(double tau, double drivingVar, double levelVar, double rateVar) =>
        (this.tau, this.drivingVar, this.levelVar, this.rateVar) = (tau, drivingVar, levelVar, rateVar);

    /// <summary>Mean and variance of the level on a day and the log-likelihood; days count from the day of the prior.</summary>
    public (double Level, double Var, double LogLikelihood) Level(
        double levelMean, double[] days, double[] values, double[] noiseVars, double[][] designs, double[] staticVars, double day)
    {
        var n = days.Length;
        var k = Matrix<double>.Build.Dense(n, n, (i, j) =>
            Cov(days[i], days[j]) + Enumerable.Range(0, staticVars.Length).Sum(s => designs[i][s] * designs[j][s] * staticVars[s]));
        for (var i = 0; i < n; i++)
            k[i, i] += noiseVars[i];
        var factor = k.Cholesky();
        var residual = Vector<double>.Build.Dense(n, i => values[i] - levelMean);
        var cross = Vector<double>.Build.Dense(n, i => Cov(days[i], day));
        var logLikelihood = -.5 * (n * Math.Log(2 * Math.PI) + factor.DeterminantLn + residual * factor.Solve(residual));
        return (levelMean + cross * factor.Solve(residual), Cov(day, day) - cross * factor.Solve(cross), logLikelihood);
    }

    private double Cov(double t, double u) => levelVar + G(t) * G(u) * rateVar + drivingVar * Shared(Math.Min(t, u), Math.Max(t, u));

    private double G(double w) => tau * (1 - Math.Exp(-w / tau));

    // int_0^lo g(lo-s) g(hi-s) ds
    private double Shared(double lo, double hi)
    {
        var (e, decay) = (Math.Exp(-(hi - lo) / tau), Math.Exp(-lo / tau));
        return tau * tau * (lo - tau * (1 - decay) * (1 + e) + tau / 2 * e * (1 - decay * decay));
    }
}
