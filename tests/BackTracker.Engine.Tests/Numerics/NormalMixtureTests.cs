using BackTracker.Engine.Numerics;
using CsCheck;

namespace BackTracker.Engine.Tests.Numerics;

public class NormalMixtureTests
{
    private static readonly Gen<NormalMixture> Mixtures = Gen.Select(Gen.Double[.01, 1], Gen.Double[-50, 50], Gen.Double[1e-3, 20])
        .Array[1, 12]
        .Select(parts => new NormalMixture(
            [.. parts.Select(part => part.Item1 / parts.Sum(p => p.Item1))],
            [.. parts.Select(part => part.Item2)],
            [.. parts.Select(part => part.Item3)]));

    [Fact]
    public void Quantile_of_a_probability_gives_it_back() =>
        Gen.Select(Mixtures, Gen.Double[.001, .999]).Sample((mixture, p) =>
            Assert.Equal(p, mixture.Cdf(mixture.Quantile(p)), 1e-10));

    [Fact]
    public void UpperTail_and_Cdf_make_one() =>
        Gen.Select(Mixtures, Gen.Double[-80, 80]).Sample((mixture, x) => Assert.Equal(1, mixture.Cdf(x) + mixture.UpperTail(x), 1e-13));

    [Fact]
    public void Sd_of_two_far_components_holds_their_distance()
    {
        var mixture = new NormalMixture([.5, .5], [-3, 3], [4, 4]);

        Assert.Equal(0, mixture.Mean, 1e-15);
        Assert.Equal(5, mixture.Sd, 1e-14);
    }

    [Fact]
    public void Quantile_of_point_masses_is_the_point_where_the_probability_is_reached()
    {
        var mixture = new NormalMixture([.3, .7], [1, 2], [0, 0]);

        Assert.Equal(1, mixture.Quantile(.2), 1e-9);
        Assert.Equal(2, mixture.Quantile(.6), 1e-9);
        Assert.Equal(.3, mixture.Cdf(1.5), 1e-15);
    }

    [Fact]
    public void NormalMixture_without_components_is_refused() => Assert.Throws<ArgumentException>(() => new NormalMixture([], [], []));
}
