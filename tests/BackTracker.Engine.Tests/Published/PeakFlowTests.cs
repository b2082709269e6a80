using System.Text.Json.Nodes;
using BackTracker.Engine.Repeatability;

namespace BackTracker.Engine.Tests.Published;

/// <summary>Peak expiratory flow of 17 people by two meters, twice each: Bland and Altman 1986, Lancet i:307-310.</summary>
public class PeakFlowTests
{
    private readonly JsonNode file = PublishedValues.Read("bland_altman_pefr");

    [Fact]
    public void Agreement_of_the_two_meters_has_the_published_limits()
    {
        var (agreement, published, computed) = (MeterAgreement(), file["published_from_memory"]!, file["computed"]!);

        Assert.Equal(published.Number("mean_diff"), agreement.Bias, .05);
        Assert.Equal(published.Number("sd_diff"), agreement.Sd, .05);
        Assert.Equal(computed.Number("mean_diff"), agreement.Bias, 1e-12);
        Assert.Equal(computed.Number("sd_diff"), agreement.Sd, 1e-12);
        // The paper rounds the deviation to 38.8 before it doubles it.
        Assert.Equal(published.Numbers("limits")[0], agreement.LowLimit(2).Value, .1);
        Assert.Equal(published.Numbers("limits")[1], agreement.HighLimit(2).Value, .1);
        Assert.Equal(computed.Numbers("loa196"), [agreement.LowLimit().Value, agreement.HighLimit().Value], Within(1e-9));
    }

    /// <summary>The intervals as printed in the paper (from memory), made of rounded parts: t 2.12, standard errors 9.4 and 16.3, limits of 38.8 twice.</summary>
    [Fact]
    public void Agreement_of_the_two_meters_has_the_published_intervals()
    {
        var agreement = MeterAgreement();

        Assert.Equal([-22.0, 17.8], [agreement.Offset.Low, agreement.Offset.High], Within(.06));
        Assert.Equal([-114.3, -45.1], [agreement.LowLimit(2).Low, agreement.LowLimit(2).High], Within(.2));
        Assert.Equal([40.9, 110.1], [agreement.HighLimit(2).Low, agreement.HighLimit(2).High], Within(.2));
        var half = 2.1199052992212546745 * file["computed"]!.Number("se_loa");
        Assert.Equal(half, agreement.HighLimit().High - agreement.HighLimit().Value, 1e-9);
    }

    [Theory]
    [InlineData("wright", 43.2)]
    [InlineData("mini", 56.4)]
    public void Scatter_of_each_meter_is_its_published_coefficient_of_repeatability(string meter, double published)
    {
        var scatter = RepeatScatter.OfAll(file.Numbers(meter + "1").Zip(file.Numbers(meter + "2"), (first, second) => new[] { first, second }));
        var computed = file["computed"]![$"rep_{meter}"]!;

        Assert.Equal(17, scatter.DegreesOfFreedom);
        Assert.Equal(computed.Number("sw"), scatter.Sd, 1e-10);
        Assert.Equal(computed.Number("cr_196_sqrt2_sw"), new MeasurementError(scatter.Sd, 0).LeastRealChange(1), 1e-8);
        // Two deviations of the differences about zero, printed to a tenth.
        Assert.Equal(published, 2 * Math.Sqrt(2) * scatter.Sd, .15);
    }

    private static Func<double, double, bool> Within(double tolerance) => (a, b) => Math.Abs(a - b) <= tolerance;

    private Agreement MeterAgreement() => Agreement.Of([.. file.Numbers("wright1").Zip(file.Numbers("mini1"), (wright, mini) => wright - mini)]);
}
