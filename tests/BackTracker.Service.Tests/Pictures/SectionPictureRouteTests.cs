using System.Globalization;
using System.Net;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Pictures;

public sealed class SectionPictureRouteTests
{
    [Fact]
    public async Task FitSvg_treeBySides_drawsTheMismatchOfTheFinding()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { WiderMm = 14, RightLargerPct = 6 });

        var reply = (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/fit.svg?station=T13&width=328")).Should(HttpStatusCode.OK);
        var finding = TracedYard.Finding(await yard.FitAsync(), "width@T13")["value"]!.GetValue<double>();
        var picture = ReadPicture.Of(reply.Text).ShouldBeSound();

        Assert.Equal("image/svg+xml", reply.ContentHeaders.ContentType!.MediaType);
        Assert.Equal(("T13 of Sorrel under Sorrel's saddle, 25 November 2026", 328), (picture.Title, picture.WidthPx));
        Assert.Contains("From traces at T13, left and right told apart by their marks.", picture.Description, StringComparison.Ordinal);
        // The tree is narrow; most of it on the right, where the back is larger. Both sides together are the finding.
        var perMm = Math.Abs(ReadPicture.Number(picture.Label("0", 0), "x") - ReadPicture.Number(picture.Label("50", 1), "x")) / 50;
        var (left, right) = (SpanOf(picture, 0), SpanOf(picture, 3));
        Assert.True(left > 0 && right < 0 && -right > left, $"left {left} px, right {right} px");
        Assert.Equal(finding, (right - left) / perMm, .4);
        Assert.Matches(@"B, \d+ mm down: \d+ mm narrow on the left, \d+ mm narrow on the right\.", picture.Description);
    }

    [Fact]
    public async Task FitSvg_treeByWidths_drawsItsWidthsWithOrWithoutASection()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(330);

        var picture = ReadPicture.Of((await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/fit.svg?station=T13")).Should(HttpStatusCode.OK).Text).ShouldBeSound();

        Assert.Equal(640, picture.WidthPx);
        Assert.Contains("A, 150 mm down: tree 320 mm, back 330 mm, so 10 mm narrow.", picture.Description, StringComparison.Ordinal);
        Assert.Contains("One width was measured at T13: it tells no section.", picture.Description, StringComparison.Ordinal);

        var shape = new { from = yard.Today.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture), stations = new[] { new { station = "T13", width30Mm = 130, width150Mm = 322 } } };
        (await service.Admin.PostAsync($"/v1/saddles/{yard.SaddleId}/tree-shapes", shape)).Should(HttpStatusCode.Created);
        var widths = new[] { new { station = "T13", depthMm = 30, widthMm = 124 }, new { station = "T13", depthMm = 150, widthMm = 330 } };
        (await service.Admin.PostAsync($"/v1/horses/{yard.HorseId}/measurements", new { measuredAt = service.Clock.GetUtcNow(), measuredBy = yard.ManagerId, method = "calliper", exercise = "before", widths })).Should(HttpStatusCode.Created);

        var both = ReadPicture.Of((await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/fit.svg?station=T13")).Text).ShouldBeSound();

        Assert.Contains("a model of the back and not the back", both.Description, StringComparison.Ordinal);
        Assert.Contains("A, 30 mm down: tree 130 mm, back 124 mm, so 6 mm wide.", both.Description, StringComparison.Ordinal);
        Assert.Contains("B, 150 mm down: tree 322 mm, back 330 mm, so 8 mm narrow.", both.Description, StringComparison.Ordinal);
    }

    [Fact]
    public async Task FitSvg_whatCannotBeDrawn_saysWhy()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var address = $"/v1/pairings/{yard.PairingId}/fit.svg";

        var never = (await service.Admin.GetAsync($"{address}?station=T13")).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "impossible");
        Assert.Contains("Measure T13 width at 150 mm.", never["detail"]!.GetValue<string>(), StringComparison.Ordinal);
        await yard.MeasureAsync(330);
        var elsewhere = (await service.Admin.GetAsync($"{address}?station=T8")).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "impossible");
        Assert.Equal("Tree and back cannot be drawn at T8. They can at T13.", elsewhere["detail"]!.GetValue<string>());
        (await service.Admin.GetAsync($"{address}?station=T13&asOf=2026-11-01")).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "impossible");
        (await service.Admin.GetAsync(address)).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        (await service.Admin.GetAsync($"{address}?station=T13&width=9000")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        var stranger = await (await Yardful.SettleAsync(service, "Mill Bottom")).KeyOfAsync(null, "read");
        (await stranger.GetAsync($"{address}?station=T13")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
    }

    /// <summary>From back to tree along a mark of the lower depth, px, + = to the right.</summary>
    private static double SpanOf(ReadPicture picture, int mark)
    {
        var line = picture.OfClass("gap").ElementAt(1).Attribute("d")!.Value.Split('M', StringSplitOptions.RemoveEmptyEntries)[mark];
        var ends = line.Split('L').Select(end => double.Parse(end.Split(',')[0], CultureInfo.InvariantCulture)).ToArray();
        return ends[1] - ends[0];
    }
}
