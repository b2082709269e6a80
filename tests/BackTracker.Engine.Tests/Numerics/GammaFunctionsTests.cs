using BackTracker.Engine.Numerics;
using CsCheck;
using MathNet.Numerics.Distributions;
using StudentT = BackTracker.Engine.Numerics.StudentT;

namespace BackTracker.Engine.Tests.Numerics;

/// <summary>Gamma function, chi-square and t against values in 30-digit arithmetic (mpmath 1.3.0) and against MathNet.Numerics.</summary>
public class GammaFunctionsTests
{
    [Theory]
    [InlineData(.001, 6.9071788853838536825, -1000.5755719318103005, 1000001.642533195869)]
    [InlineData(.5, .57236494292470008707, -1.9635100260214234794, 4.9348022005446793094)]
    [InlineData(3, .69314718055994530942, .92278433509846713939, .39493406684822643647)]
    [InlineData(17.25, 31.37462231367768648, 2.8185466769865570379, .059683781919015517172)]
    [InlineData(1200, 7305.4661724910694778, 7.08966011123905866, .00083368065200615944359)]
    public void LogGamma_and_its_derivatives_hold_13_digits(double x, double logGamma, double digamma, double trigamma)
    {
        Assert.Equal(logGamma, GammaFunctions.LogGamma(x), 1e-13 * Math.Max(1, logGamma));
        Assert.Equal(digamma, GammaFunctions.Digamma(x), 1e-13 * Math.Max(1, Math.Abs(digamma)));
        Assert.Equal(trigamma, GammaFunctions.Trigamma(x), 1e-13 * trigamma);
    }

    [Fact]
    public void InverseTrigamma_of_a_trigamma_gives_its_argument_back() =>
        Gen.Double[-2, 4].Sample(power =>
        {
            var x = Math.Pow(10, power);
            Assert.Equal(x, GammaFunctions.InverseTrigamma(GammaFunctions.Trigamma(x)), 1e-11 * x);
        });

    [Theory]
    [InlineData(.025, 1, .00098206911717525591234)]
    [InlineData(.975, 1, 5.0238861873148889562)]
    [InlineData(.5, 2, 1.3862943611198906188)]
    [InlineData(.025, 3, .21579528262389786845)]
    [InlineData(.5, 7, 6.3458111955215175357)]
    [InlineData(.975, 47, 67.820646984252475287)]
    [InlineData(.025, 2000, 1877.9460368153904312)]
    public void ChiSquare_quantile_holds_12_digits(double probability, double degreesOfFreedom, double expected) =>
        Assert.Equal(expected, ChiSquare.Quantile(probability, degreesOfFreedom), 1e-12 * expected);

    [Theory]
    [InlineData(.975, 1, 12.706204736174704646)]
    [InlineData(.975, 2, 4.3026527297494638523)]
    [InlineData(.975, 16, 2.1199052992212546745)]
    [InlineData(.9, 5, 1.4758840488244810785)]
    [InlineData(.975, 400, 1.9659123432294631567)]
    public void StudentT_quantile_holds_12_digits(double probability, double degreesOfFreedom, double expected)
    {
        Assert.Equal(expected, StudentT.Quantile(probability, degreesOfFreedom), 1e-12 * expected);
        Assert.Equal(-expected, StudentT.Quantile(1 - probability, degreesOfFreedom), 1e-11 * expected);
    }

    [Fact]
    public void Cdf_of_chi_square_and_t_agree_with_MathNet() =>
        Gen.Select(Gen.Double[.5, 300], Gen.Double[.01, 4]).Sample((known, scale) =>
        {
            Assert.Equal(ChiSquared.CDF(known, known * scale), ChiSquare.Cdf(known * scale, known), 1e-10);
            Assert.Equal(MathNet.Numerics.Distributions.StudentT.CDF(0, 1, known, scale), StudentT.Cdf(scale, known), 1e-10);
        });

    [Fact]
    public void Quantiles_of_a_probability_give_it_back() =>
        Gen.Select(Gen.Double[1e-4, 1 - 1e-4], Gen.Double[.5, 3000]).Sample((p, known) =>
        {
            Assert.Equal(p, ChiSquare.Cdf(ChiSquare.Quantile(p, known), known), 1e-9);
            Assert.Equal(p, StudentT.Cdf(StudentT.Quantile(p, known), known), 1e-9);
        });

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(double.NaN)]
    public void Quantile_of_what_is_no_probability_is_refused(double probability)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => ChiSquare.Quantile(probability, 3));
        Assert.Throws<ArgumentOutOfRangeException>(() => StudentT.Quantile(probability, 3));
    }
}
