using System.Text.Json.Nodes;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Fit;

/// <summary>A tree known by its sides on a horse that was traced, over the API.</summary>
public sealed class LaidFitTests
{
    private static readonly string[] OfForm = ["pommel-clearance", "spine-clearance", "bridging", "rocking", "balance"];

    [Fact]
    public async Task Fit_treeBySides_givesEveryMeasureByStationAndSide()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new());

        var fit = await yard.FitAsync();

        string[] expected =
        [
            "width@T8", "width@T13", "width@T18", "angle@T8", "angle@T13", "angle@T18", "angle-difference@T8", "angle-difference@T13", "angle-difference@T18",
            "channel", "pommel-clearance", "spine-clearance", "bridging@left", "bridging@right", "rocking", "balance", "roll", "reach", "shoulder-room",
            "asymmetry150@T8", "asymmetry150@T13", "asymmetry150@T18", "asymmetry30@T8", "asymmetry30@T13", "asymmetry30@T18",
        ];
        Assert.Equal(expected, fit["findings"]!.AsArray().Select(finding => finding!["key"]!.GetValue<string>()));
        Assert.Empty(fit["missing"]!.AsArray());
        Assert.Contains(fit["cautions"]!.AsArray(), caution => caution!.GetValue<string>().Contains("without a rider", StringComparison.Ordinal));
        // A tree made to follow the back is within tolerance; how far it may reach is told apart by T18, which is hard to find.
        Assert.All(fit["findings"]!.AsArray(), finding => Assert.Equal(finding!["key"]!.GetValue<string>() == "reach" ? "watch" : "ok", finding["severity"]!.GetValue<string>()));
    }

    [Fact]
    public async Task Fit_finding_carriesItsNumbersLimitsMarginAndSource()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { DipMm = 24 });

        var fit = await yard.FitAsync();
        var (width, bridging) = (TracedYard.Finding(fit, "width@T13"), TracedYard.Finding(fit, "bridging@left"));

        Assert.Equal(("width", "T13", "mm"), (Text(width["measure"]), Text(width["station"]), Text(width["unit"])));
        Assert.Null(width["side"]);
        Assert.Equal([-20, -10, 15, 30], new[] { "outBelow", "watchBelow", "watchAbove", "outAbove" }.Select(limit => Number(width["limits"]![limit])));
        Assert.Equal(20 + Number(width["value"]), Number(width["margin"]), 1e-9);
        Assert.Contains("Meschan", Text(width["source"]), StringComparison.Ordinal);
        Assert.Null(width["flockingMm"]);

        Assert.Equal(("bridging", "T13", "left"), (Text(bridging["measure"]), Text(bridging["station"]), Text(bridging["side"])));
        Assert.Null(bridging["limits"]!["outBelow"]);
        Assert.Equal(8 - Number(bridging["value"]), Number(bridging["margin"]), 1e-9);
        Assert.Equal(Number(bridging["value"]), Number(bridging["flockingMm"]));
        Assert.InRange(Number(bridging["valueSd"]), .5, 5);
        // A string over 390 of the 420 mm between the supports, 6 mm deeper than the tree was made for.
        Assert.InRange(Number(bridging["value"]), 3.5, 6.5);
    }

    public static TheoryData<string, string[], string> Lacks => new()
    {
        { "no front", ["width", .. OfForm, "reach", "shoulder-room"], "Measure how far the tree's front edge lies behind T8 on this horse." },
        { "no topline", OfForm, "Trace the topline along the spine, against a level line." },
        { "no marks", ["angle-difference", "roll"], "Mark the midline and a level line on every trace: without both, left and right cannot be told apart." },
        { "no T18", ["reach", "shoulder-room"], "Measure how far T18 lies behind T8: follow the last rib up and forward to the spine." },
        { "nothing placed", ["width", .. OfForm, "reach", "shoulder-room"], "Measure how far T13 and T18 lie behind T8." },
        { "one station", ["width", .. OfForm, "reach", "shoulder-room"], "Trace the back at T8, T13 and T18, or measure their widths at 30 and 150 mm." },
        { "too short", ["width", .. OfForm], "The traces end above the lower edge of the panel: trace further down the sides." },
    };

    [Theory, MemberData(nameof(Lacks))]
    public async Task Fit_somethingLacks_saysWhichMeasurementBringsIt(string lack, string[] unknown, string mending)
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service, frontMm: lack == "no front" ? null : TracedBack.FrontMm);
        await yard.MeasureAsync(lack switch
        {
            "no topline" => new() { HasTopline = false },
            "no marks" => new() { Marked = false },
            "no T18" => new() { Stations = ["T8", "T13"], PositionsMm = new() { ["T13"] = 210 } },
            "nothing placed" => new() { PositionsMm = [] },
            "one station" => new() { Stations = ["T13"], PositionsMm = new() { ["T13"] = 210 } },
            "too short" => new() { LowestMm = 65 },
            _ => new(),
        });

        var fit = await yard.FitAsync();
        var lacking = fit["findings"]!.AsArray().Where(finding => Text(finding!["severity"]) == "unknown").ToList();

        Assert.Equal(unknown, lacking.Select(finding => Text(finding!["key"])));
        Assert.Single(fit["missing"]!.AsArray(), missing => Text(missing).StartsWith($"{mending} Not known until then: ", StringComparison.Ordinal));
        Assert.All(lacking, finding => Assert.StartsWith("Not known: ", Text(finding!["text"]), StringComparison.Ordinal));
        Assert.All(lacking, finding => Assert.True(finding!["value"] is null && finding["probabilityOut"] is null));
    }

    [Fact]
    public async Task Fit_treelessSaddle_saysThatNoTreeCanBeLaid()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service, kind: "treeless");
        await yard.MeasureAsync();

        var (fit, forecast) = (await yard.FitAsync(), await yard.ForecastAsync());

        Assert.Contains("no rigid tree", Text(fit["missing"]![0]), StringComparison.OrdinalIgnoreCase);
        Assert.Null(forecast["overall"]);
        Assert.Equal(Text(fit["missing"]![0]), Text(forecast["missing"]![0]));
    }

    [Theory]
    [InlineData(60, 8, 480, "Rider and tack are 14.2 % of the horse's weight.")]
    [InlineData(66, 8, 480, "above 15 %: sources disagree")]
    [InlineData(90, 10, 480, "above 20 %: ask a vet whether that is too much")]
    public async Task Fit_load_isSharedOutAndWarnedOf(double riderKg, double tackKg, double horseKg, string text)
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureAsync();
        var path = $"/v1/pairings/{yard.PairingId}";
        var etag = (await service.Admin.GetAsync(path)).Etag;
        await service.Admin.PutAsync(path, new { horseId = yard.HorseId, saddleId = yard.SaddleId, from = yard.TodayText, riderWeightKg = riderKg, tackWeightKg = tackKg }, ("If-Match", etag));

        var load = (await yard.FitAsync())["load"]!;

        Assert.Equal((riderKg + tackKg) / horseKg, Number(load["share"]), 1e-9);
        Assert.Contains(text, Text(load["text"]), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Fit_afterFlockingByZoneAndSide_changesFromItsDayOnAndOnThatSide()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(3, _ => new() { HollowMm = 8 });
        var before = yard.TodayText;
        service.Clock.Advance(TimeSpan.FromDays(2));
        await service.Admin.MakeAsync($"/v1/saddles/{yard.SaddleId}/adjustments", new
        {
            doneOn = yard.TodayText,
            doneBy = yard.FitterId,
            kind = "flocking",
            zones = new[] { new { side = "left", zone = "middle", mm = 4 } },
        });

        var (then, now) = (await yard.FitAsync($"?asOf={before}"), await yard.FitAsync());

        Assert.InRange(Value(then, "bridging@left") - Value(now, "bridging@left"), 3.5, 6);
        Assert.Equal(Value(then, "bridging@right"), Value(now, "bridging@right"), .3);
    }

    [Fact]
    public async Task Fit_afterTheTreeWasOpenedOnOneSide_isWiderFromItsDayOn()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(3, _ => new());
        var before = yard.TodayText;
        service.Clock.Advance(TimeSpan.FromDays(2));
        await service.Admin.MakeAsync($"/v1/saddles/{yard.SaddleId}/adjustments", new
        {
            doneOn = yard.TodayText,
            doneBy = yard.FitterId,
            kind = "tree",
            zones = new[] { new { side = "right", zone = "front", mm = 6 } },
        });

        var (then, now) = (await yard.FitAsync($"?asOf={before}"), await yard.FitAsync());

        Assert.InRange(Value(now, "width@T8") - Value(then, "width@T8"), 2, 7);
        Assert.Equal(Value(then, "width@T18"), Value(now, "width@T18"), .3);
        Assert.True(Value(now, "angle-difference@T8") > 1, "The left is steeper where the right was opened.");
    }

    [Fact]
    public async Task Fit_oneSaddleOnTwoHorsesAndTwoSaddlesOnOne_eachHasItsOwn()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureAsync();
        var other = await service.Admin.MakeAsync("/v1/horses", new { yardId = yard.YardId, name = "Plover" });
        await service.Admin.PostAsync($"/v1/horses/{other}/measurements", new TracedBack { WiderMm = 40 }.Session(service.Clock.GetUtcNow(), yard.ManagerId));
        var borrowed = await service.Admin.MakeAsync("/v1/pairings", new { horseId = other, saddleId = yard.SaddleId, from = yard.TodayText, treeFrontFromT8Mm = 10 });
        var second = await service.Admin.MakeAsync("/v1/saddles", new { yardId = yard.YardId, label = "Old saddle", tree = "rigid", filling = "wool" });
        await service.Admin.PostAsync($"/v1/saddles/{second}/tree-shapes", new { from = yard.TodayText, stations = new[] { new { station = "T13", width150Mm = 340 } } });
        var old = await service.Admin.MakeAsync("/v1/pairings", new { horseId = yard.HorseId, saddleId = second, from = yard.TodayText });

        var onOther = await service.Admin.GetAsync($"/v1/pairings/{borrowed}/fit");
        var withOld = await service.Admin.GetAsync($"/v1/pairings/{old}/fit");

        Assert.Equal("ok", Text(TracedYard.Finding(await yard.FitAsync(), "width@T13")["severity"]));
        Assert.Equal("out", Text(TracedYard.Finding(onOther, "width@T13")["severity"]));
        Assert.Equal("out", Text(TracedYard.Finding(withOld, "width150@T13")["severity"]));
    }

    private static string Text(JsonNode? node) => node!.GetValue<string>();

    private static double Number(JsonNode? node) => node!.GetValue<double>();

    private static double Value(Reply fit, string key) => Number(TracedYard.Finding(fit, key)["value"]);
}
