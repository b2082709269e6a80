using BackTracker.Engine.Forecasts;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Published;

/// <summary>
/// A rate that is forgotten at once leaves a Brownian level, whose first passage is known: of one barrier with drift by the inverse Gaussian law,
/// of two by the sine series (Cox and Miller 1965, The Theory of Stochastic Processes, chapter 5; from memory). A level that is only looked at
/// every d days passes as one looked at always does with its barriers .5826 s sqrt(d) further out (Broadie, Glasserman and Kou 1997, Mathematical
/// Finance 7:325-349; from memory).
/// </summary>
public class BrownianPassageTests
{
    private const double Tau = 1e-4;
    private const int Looks = 200;
    private const double Allowed = .008;

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public void OutLater_one_barrier_with_drift_follows_the_inverse_gaussian_law(int index)
    {
        var known = PublishedValues.Read("brownian_first_passage")["one_barrier"]!.AsArray()[index]!;
        var (barrier, drift, sd, last) = (known.Number("barrier"), known.Number("drift"), known.Number("sd"), known.Number("T"));

        var told = OutBy(sd, last, day => new Band(double.NegativeInfinity, barrier - (drift * day) - Further(sd, last)));

        Assert.Equal(known.Number("p"), told, Allowed);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void OutLater_two_barriers_follows_the_sine_series(int index)
    {
        var known = PublishedValues.Read("brownian_first_passage")["two_barriers"]!.AsArray()[index]!;
        var (sd, last, from) = (known.Number("sd"), known.Number("T"), known.Number("x0"));
        var nearer = Further(sd, last);

        var told = OutBy(sd, last, _ => new Band(known.Number("lo") - from + nearer, known.Number("hi") - from - nearer));

        Assert.Equal(known.Number("p"), told, Allowed);
    }

    private static double Further(double sd, double last) => .5826 * sd * Math.Sqrt(last / Looks);

    private static double OutBy(double sd, double last, Func<double, Band> bandOn)
    {
        var grid = new PathGrid([.. Enumerable.Range(0, Looks + 1).Select(look => last * look / Looks)], Looks);
        PathStart[] starts = [new MovingLevel(0, 0, 0, 0, 0, sd * sd / (Tau * Tau), Tau).Start(1)];
        var later = Passage.OutLater(starts, grid, node => bandOn(grid[node]), 16384);
        return later[^1] + Passage.OutOn(starts, last, bandOn(last));
    }
}
