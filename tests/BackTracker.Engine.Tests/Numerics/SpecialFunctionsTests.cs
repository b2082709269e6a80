using BackTracker.Engine.Numerics;
using CsCheck;

namespace BackTracker.Engine.Tests.Numerics;

/// <summary>Own special functions against MathNet.Numerics and against values in 30-digit arithmetic (mpmath 1.2.1).</summary>
public class SpecialFunctionsTests
{
    [Theory]
    [InlineData(1e-300, 1e-300)]
    [InlineData(1e-10, 1.00000000005000000000167e-10)]
    [InlineData(-1e-5, -9.99995000016666625000e-6)]
    [InlineData(.5, .648721270700128146848651)]
    [InlineData(-.7, -.503414696208590473069932)]
    [InlineData(20, 485165194.409790277969107)]
    [InlineData(-50, -1.0)]
    public void ExpM1_known_value_holds_14_digits(double x, double expected) =>
        Assert.Equal(expected, SpecialFunctions.ExpM1(x), Math.Abs(expected) * 1e-14);

    [Fact]
    public void ExpM1_extremes_neither_overflow_nor_turn_nan()
    {
        Assert.Equal(0, SpecialFunctions.ExpM1(0));
        Assert.Equal(double.PositiveInfinity, SpecialFunctions.ExpM1(1000));
        Assert.Equal(-1, SpecialFunctions.ExpM1(double.NegativeInfinity));
    }

    [Theory]
    [InlineData(0, 1)]
    [InlineData(.1, .887537083981715101595288)]
    [InlineData(1, .157299207050285130658779)]
    [InlineData(3.75, 1.13727256569796653259e-7)]
    [InlineData(10, 2.08848758376254475700e-45)]
    [InlineData(25, 8.30017257119652275200e-274)]
    [InlineData(-1.5, 1.96610514647531072707)]
    public void Erfc_known_value_holds_14_digits(double x, double expected) =>
        Assert.Equal(expected, SpecialFunctions.Erfc(x), expected * 1e-14);

    [Fact]
    public void Cdf_agrees_with_MathNet() =>
        Gen.Double[-8, 8].Sample(x => Assert.Equal(MathNet.Numerics.Distributions.Normal.CDF(0, 1, x), Normal.Cdf(x), 1e-14));

    [Fact]
    public void Quantile_agrees_with_MathNet() =>
        Gen.Double[1e-6, 1 - 1e-6].Sample(p =>
            Assert.Equal(MathNet.Numerics.Distributions.Normal.InvCDF(0, 1, p), Normal.Quantile(p), 1e-8));

    [Fact]
    public void Quantile_of_a_probability_gives_it_back() =>
        Gen.Double[-300, -.31].Sample(exponent =>
        {
            var p = Math.Pow(10, exponent);
            var x = Normal.Quantile(p);
            // A rounding of x alone moves the probability by x^2 roundings.
            Assert.Equal(p, Normal.Cdf(x), p * (1e-14 + 2 * x * x * 1.2e-16));
        });

    [Theory]
    [InlineData(.975, 1.95996398454005423552)]
    [InlineData(.9, 1.28155156554460046696)]
    [InlineData(.5, 0)]
    [InlineData(1e-10, -6.36134090240406003000)]
    public void Quantile_known_value_holds_14_digits(double p, double expected) => Assert.Equal(expected, Normal.Quantile(p), 1e-14 * (1 + Math.Abs(expected)));

    [Theory]
    [InlineData(0, double.NegativeInfinity)]
    [InlineData(1, double.PositiveInfinity)]
    public void Quantile_of_the_ends_is_infinite(double p, double expected) => Assert.Equal(expected, Normal.Quantile(p));

    [Theory]
    [InlineData(-.1)]
    [InlineData(1.1)]
    [InlineData(double.NaN)]
    public void Quantile_outside_the_unit_interval_is_refused(double p) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Normal.Quantile(p));
}
