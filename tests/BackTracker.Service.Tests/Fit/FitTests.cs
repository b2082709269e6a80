using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Fit;

public sealed class FitTests
{
    [Fact]
    public async Task Fit_withoutMeasurements_saysWhichWouldBringIt()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);

        var fit = (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/fit")).Should(HttpStatusCode.OK);

        Assert.Equal("unknown", fit["findings"]![0]!["severity"]!.GetValue<string>());
        Assert.Equal("Measure T13 width at 150 mm.", fit["missing"]![0]!.GetValue<string>());
        Assert.NotEmpty(fit["cautions"]!.AsArray());
    }

    // One fitting is 2 cm across the points: Meschan, Peham, Schobesberger and Licka 2007, Vet J 173:578-584.
    [Theory]
    [InlineData(320, "ok")]
    [InlineData(345, "out")]
    [InlineData(295, "out")]
    [InlineData(309, "watch")]
    public async Task Fit_oneFittingOff_isOut(double backMm, string severity)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(backMm);

        var finding = (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/fit"))["findings"]![0]!;

        Assert.Equal(severity, finding["severity"]!.GetValue<string>());
        Assert.Equal(320 - backMm, finding["value"]!.GetValue<double>(), .01);
        Assert.Contains("Meschan", finding["source"]!.GetValue<string>(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Fit_asOfAnEarlierDay_looksAtNothingLater()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(318);
        await service.PassDaysAsync(28);
        await yard.MeasureAsync(335);

        var then = await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/fit?asOf=2026-11-25");
        var later = await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/fit?asOf=2026-11-25&on=2026-12-23");

        Assert.Equal(2, then["findings"]![0]!["value"]!.GetValue<double>(), .01);
        Assert.True(later["findings"]![0]!["valueSd"]!.GetValue<double>() > then["findings"]![0]!["valueSd"]!.GetValue<double>());
        Assert.NotEqual(then.Text, (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/fit")).Text);
        (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/fit?asOf=25.11.2026")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
    }
}
