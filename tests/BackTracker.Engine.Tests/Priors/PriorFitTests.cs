using BackTracker.Engine.Priors;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Priors;

public sealed class PriorFitTests
{
    private static readonly double[][] Nodes =
        [.. from rate in TrendModel.Shipped.RateSds from tau in TrendModel.Shipped.TausDays from session in TrendModel.Shipped.SessionSds select new[] { Math.Log(rate), Math.Log(tau), Math.Log(session) }];

    private static readonly double[] Narrow = [.4, .35, .2];
    private static readonly double[] Wide = [.5, .8, .25];

    // SciPy 1.10.1: the marginal likelihood of the same sixty likelihoods, maximised over medians and spreads (spreads of .4 and more) by
    // scipy.optimize.minimize, Nelder-Mead from three starts, xatol 1e-11: no expectation and no maximisation.
    [Fact]
    public void Of_sixtyLikelihoods_isWhatAnIndependentOptimiserFinds()
    {
        var prior = PriorFit.Of([.. Enumerable.Range(0, 60).Select(j => new WeighedLikelihood(Bump(CentreOf(j), Narrow), 1.0 / (1 + (j % 3))))], TrendModel.Shipped);

        Assert.Equal([.0374847378, 67.2810537, 1.53484709], [prior.Rate.Median, prior.Tau.Median, prior.Session.Median], Near(1e-4));
        Assert.Equal([.57891295, .52110298, .4], [prior.Rate.LogSd, prior.Tau.LogSd, prior.Session.LogSd], Near(1e-4));
    }

    // What is known of each horse is its own value with an error of known size, so that spread and error add up: a closed form.
    [Fact]
    public void Of_horsesFromAKnownPopulation_findsIt()
    {
        var random = new Random(11);
        double[] centres = [Math.Log(.038), Math.Log(75), Math.Log(1.7)];
        double[] spreads = [.55, .6, .45];
        var series = Enumerable.Range(0, 3000).Select(_ => new WeighedLikelihood(Bump([.. centres.Zip(spreads, (centre, spread) => centre + (spread * Gauss(random))).Zip(Wide, (own, width) => own + (width * Gauss(random)))], Wide), 1));

        var prior = PriorFit.Of([.. series], TrendModel.Shipped);

        // The grid is coarse and ends where some of the population lies beyond: three nodes tell the spread between sessions worst.
        Assert.Equal([.038, 75, 1.7], [prior.Rate.Median, prior.Tau.Median, prior.Session.Median], Near(.1));
        Assert.Equal(spreads, [prior.Rate.LogSd, prior.Tau.LogSd, prior.Session.LogSd], Near(.25));
    }

    [Fact]
    public void Posterior_ofOneHorse_isThePriorWeighedByItsLikelihood()
    {
        var (prior, likelihood) = (new DynamicsPrior(new(.03, .6), new(70, .6), new(1.7, .5)).WeightsOn(TrendModel.Shipped), Bump(CentreOf(4), Narrow));

        var posterior = PriorFit.Posterior(prior, likelihood);

        var total = prior.Zip(likelihood, (p, l) => p * l).Sum();
        Assert.Equal(1, posterior.Sum(), 1e-12);
        for (var i = 0; i < posterior.Length; i++)
            Assert.Equal(prior[i] * likelihood[i] / total, posterior[i], 1e-15);
    }

    [Fact]
    public void Of_oneHorseThatSaysNothing_isNearlyFlatAndNeverNarrowerThanItsFloor()
    {
        var nothing = PriorFit.Of([new WeighedLikelihood([.. Enumerable.Repeat(1.0, Nodes.Length)], 1)], TrendModel.Shipped);
        var everything = PriorFit.Of([.. Enumerable.Range(0, 50).Select(_ => new WeighedLikelihood(Bump([Math.Log(.03), Math.Log(75), Math.Log(1.8)], Narrow), 1))], TrendModel.Shipped);

        Assert.True(nothing.Rate.LogSd >= .4 && nothing.Session.LogSd >= .4);
        Assert.Equal([.4, .4, .4], [everything.Rate.LogSd, everything.Tau.LogSd, everything.Session.LogSd]);
    }

    private static double[] CentreOf(int j) =>
        [Math.Log(.012 * Math.Pow(10, j * 7 % 23 / 23.0)), Math.Log(30 * Math.Pow(6.3, j * 5 % 19 / 19.0)), Math.Log(Math.Pow(3, j * 3 % 17 / 17.0))];

    private static double[] Bump(double[] centre, double[] widths) =>
        [.. Nodes.Select(node => Math.Exp(-.5 * Enumerable.Range(0, 3).Sum(axis => Math.Pow((node[axis] - centre[axis]) / widths[axis], 2))))];

    private static double Gauss(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static Func<double, double, bool> Near(double share) => (expected, actual) => Math.Abs(expected - actual) <= share * expected;
}
