using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Pictures;

public sealed class TrendPictureRouteTests
{
    [Fact]
    public async Task TrendsSvg_measuredMetric_isAPictureOfTheNumbersOfTheAnswer()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        foreach (var width in new[] { 312.0, 318, 325 })
        {
            await yard.MeasureAsync(width);
            await service.PassDaysAsync(28);
        }

        var reply = (await service.Admin.GetAsync($"/v1/horses/{yard.HorseId}/trends.svg?metric=T13.width150&width=328")).Should(HttpStatusCode.OK);
        var trend = (await service.Admin.GetAsync($"/v1/horses/{yard.HorseId}/trends?metric=T13.width150")).Items[0]!;
        var picture = ReadPicture.Of(reply.Text).ShouldBeSound();

        Assert.Equal("image/svg+xml", reply.ContentHeaders.ContentType!.MediaType);
        Assert.Equal(328, picture.WidthPx);
        Assert.Equal("Width at T13, 150 mm down, Bramble", picture.Title);
        Assert.Contains(trend["text"]!.GetValue<string>(), picture.Description, StringComparison.Ordinal);
        // A tree of 320 mm is out from 14 mm narrow to 20 mm wide.
        Assert.Contains("The tree of Bramble's saddle is out of tolerance where the back is under 300 mm or over 334 mm.", picture.Description, StringComparison.Ordinal);
        var end = trend["forecast"]!.AsArray()[83]!;
        Assert.Contains($"between {end["band80"]![0]!.GetValue<double>():0} and {end["band80"]![1]!.GetValue<double>():0} mm", picture.Description, StringComparison.Ordinal);
        Assert.Equal(3, picture.OfClass("measured").SkipLast(1).Count());
    }

    [Fact]
    public async Task TrendsSvg_asOfAnEarlierDay_looksAtNothingLater()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(318);
        await service.PassDaysAsync(28);
        await yard.MeasureAsync(335);

        var then = ReadPicture.Of((await service.Admin.GetAsync($"/v1/horses/{yard.HorseId}/trends.svg?metric=T13.width150&asOf=2026-11-25")).Text);

        Assert.Contains("measured once. Last: 318 mm on 25 November 2026", then.Description, StringComparison.Ordinal);
        Assert.Contains("Today 25 Nov", then.Words);
    }

    [Fact]
    public async Task TrendsSvg_whatCannotBeDrawn_saysWhy()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(318);
        var address = $"/v1/horses/{yard.HorseId}/trends.svg";

        (await service.Admin.GetAsync(address)).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        (await service.Admin.GetAsync($"{address}?metric=widest")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        (await service.Admin.GetAsync($"{address}?metric=T13.width150&width=20")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        var never = (await service.Admin.GetAsync($"{address}?metric=T8.width150")).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "impossible");
        Assert.Contains("Nothing was measured of T8.width150", never["detail"]!.GetValue<string>(), StringComparison.Ordinal);
        var elsewhere = await (await Yardful.SettleAsync(service, "Mill Bottom")).KeyOfAsync(null, "read");
        (await elsewhere.GetAsync($"{address}?metric=T13.width150")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
    }
}
