using MathNet.Numerics.Distributions;
using EngineNormal = BackTracker.Engine.Numerics.Normal;

namespace BackTracker.Engine.Tests.Numerics;

/// <summary>The normal distribution beside MathNet.Numerics 5.0.0 as a second reference.</summary>
public class NormalTests
{
    [Fact]
    public void Cdf_and_quantile_agree_with_the_reference_library()
    {
        for (var z = -6.0; z <= 6; z += .125)
        {
            Assert.Equal(Normal.CDF(0, 1, z), EngineNormal.Cdf(z), 1e-14);
            var p = EngineNormal.Cdf(z);
            if (p is > 1e-6 and < 1 - 1e-6)
                Assert.Equal(Normal.InvCDF(0, 1, p), EngineNormal.Quantile(p), 1e-8);
        }
    }
}
