using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Forecasts;

public class OutOfReachTests
{
    private static readonly DateOnly Day = Larkfield.Today;
    private static readonly DateOnly Last = Day.AddDays(365);

    // Somewhere between these trees lies one whose edge the traces of today just reach and those of a later day do not, or the other way round.
    [Theory]
    [InlineData(-2.0)]
    [InlineData(-.5)]
    [InlineData(1.5)]
    public void TryMake_back_that_leaves_the_reach_of_its_traces_is_told_as_far_as_it_was_known(double mmASession)
    {
        var left = 0;
        var trends = new HorseTrends(TracedHorse.Measured(i => mmASession * i), TrendModel.Shipped);
        for (var open = -10.0; open <= 30; open += 1)
        {
            var fit = new PairingFit(TracedHorse.Pairing("a", open), trends, Larkfield.Policy, Day, (Day, Last));
            if (!PairingForecast.TryMake(fit, Last, out var forecast))
                continue;
            Assert.All(forecast.Overall, day => Assert.InRange(day.OutBy, 0, 1));
            Assert.All(fit.On(Last).Where(finding => finding.Numbers is not null), finding => Assert.True(double.IsFinite(finding.Numbers!.Value.Value), $"{open} {finding.Key}"));
            left += fit.Missing.Count;
        }
        Assert.True(left > 0, "No tree reached beyond the traces.");
    }
}
