using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Pairings;

public sealed class PairingTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Pair_endAndPairAgain_isKeptApartInTime(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var yard = await Yardful.SettleAsync(service);
        var path = $"/v1/pairings/{yard.PairingId}";
        object Pairing(string from, string? to) => new { horseId = yard.HorseId, saddleId = yard.SaddleId, from, to, tolerances = new { outNarrowMm = 12 } };

        (await service.Admin.PostAsync("/v1/pairings", Pairing("2027-01-01", null))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        var ended = (await service.Admin.PutAsync(path, Pairing("2026-11-25", "2026-12-31"), ("If-Match", (await service.Admin.GetAsync(path)).Etag))).Should(HttpStatusCode.OK);
        (await service.Admin.PostAsync("/v1/pairings", Pairing("2027-01-01", null))).Should(HttpStatusCode.Created);

        Assert.Equal((7.0, 12.0), (ended["tolerances"]!["watchNarrowMm"]!.GetValue<double>(), ended["tolerances"]!["outNarrowMm"]!.GetValue<double>()));
        Assert.Equal(2, (await service.Admin.GetAsync($"/v1/pairings?horseId={yard.HorseId}")).Items.Count);
    }

    [Theory]
    [InlineData("""{"horseId":"H","saddleId":"S","from":"2026-11-25","to":"2026-11-24"}""", "/to")]
    [InlineData("""{"horseId":"H","saddleId":"S","from":"2026-11-25","weeklyMinutes":-1}""", "/weeklyMinutes")]
    [InlineData("""{"horseId":"H","saddleId":"S","from":"2026-11-25","riderWeightKg":500}""", "/riderWeightKg")]
    [InlineData("""{"horseId":"H","saddleId":"S","from":"2026-11-25","tolerances":{"watchWideMm":20}}""", "/tolerances/watchWideMm")]
    [InlineData("""{"saddleId":"S","from":"2026-11-25"}""", "/horseId")]
    public async Task Pair_thatCannotBe_isRefusedAtTheMember(string body, string pointer)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var saddle = await service.Admin.MakeAsync("/v1/saddles", new { yardId = yard.YardId, label = "Other", tree = "rigid", filling = "wool" });

        var refused = (await service.Admin.SendAsync(HttpMethod.Post, "/v1/pairings", body.Replace("\"H\"", $"\"{yard.HorseId}\"", StringComparison.Ordinal).Replace("\"S\"", $"\"{saddle}\"", StringComparison.Ordinal)))
            .ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");

        Assert.NotNull(refused["errors"]![pointer]);
        Assert.Single((await service.Admin.GetAsync("/v1/pairings")).Items);
    }

    [Fact]
    public async Task Pair_acrossYards_isRefused()
    {
        await using var service = await RunningService.StartAsync();
        var here = await Yardful.SettleAsync(service);
        var there = await Yardful.SettleAsync(service, "Mill Bottom");

        (await service.Admin.PostAsync("/v1/pairings", new { horseId = here.HorseId, saddleId = there.SaddleId, from = "2026-11-25" })).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
    }

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
