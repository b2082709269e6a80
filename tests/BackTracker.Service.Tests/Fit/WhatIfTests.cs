using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Fit;

public sealed class WhatIfTests
{
    [Fact]
    public async Task WhatIf_flocking_bringsTheFitItWouldAndRecordsNothing()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { HollowMm = 8 });
        var (fit, forecast) = (await yard.FitAsync(), await yard.ForecastAsync());

        var supposed = await AskAsync(service, yard, """{"adjustments":[{"kind":"flocking","zones":[{"side":"left","zone":"middle","mm":5},{"side":"right","zone":"middle","mm":5}]}]}""");

        Assert.InRange(Value(fit, "bridging@left") - Value(supposed, "bridging@left"), 4.5, 7);
        Assert.True(P20(supposed["forecast"]!) > P20(forecast.Body), "The day on which it leaves tolerance moves away.");
        Assert.Empty(supposed["warnings"]!.AsArray());
        Assert.Equal((fit.Text, forecast.Text), ((await yard.FitAsync()).Text, (await yard.ForecastAsync()).Text));
        Assert.Empty((await service.Admin.GetAsync($"/v1/saddles/{yard.SaddleId}/adjustments")).Items);
    }

    [Fact]
    public async Task WhatIf_anotherTreePlacePadRiderAndDay_areAllTaken()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new());
        var fit = await yard.FitAsync();
        var day = TracedYard.Text(yard.Today.AddDays(90));

        var moved = await AskAsync(service, yard, """{"treeFrontFromT8Mm":30}""");
        var padded = await AskAsync(service, yard, """{"padMm":8}""");
        var shorter = await service.Admin.PostAsync($"/v1/pairings/{yard.PairingId}/what-if", new { treeShape = new { stations = new[] { new { station = "T13", width150Mm = 330 } } } });
        var later = await AskAsync(service, yard, $$"""{"on":"{{day}}","horizonDays":30,"riderWeightKg":100}""");

        Assert.Equal(Value(fit, "reach") + 20, Value(moved, "reach"), 1e-9);
        Assert.True(Value(padded, "width@T13") < Value(fit, "width@T13") - 3, "A pad makes a tree narrower.");
        Assert.Equal(24, Value(shorter.Should(HttpStatusCode.OK), "width150@T13"), 1);
        Assert.Equal(day, later["fit"]!["on"]!.GetValue<string>());
        Assert.Equal(31, later["forecast"]!["overall"]!["days"]!.AsArray().Count);
        Assert.Contains("above 20 %", later["fit"]!["load"]!["text"]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.Equal(fit.Text, (await yard.FitAsync()).Text);
    }

    [Theory]
    [InlineData("""{"padMm":-1}""", 422, "impossible", "/padMm")]
    [InlineData("""{"treeFrontFromT8Mm":900}""", 422, "impossible", "/treeFrontFromT8Mm")]
    [InlineData("""{"riderWeightKg":5}""", 422, "impossible", "/riderWeightKg")]
    [InlineData("""{"horizonDays":0}""", 422, "impossible", "/horizonDays")]
    [InlineData("""{"horizonDays":366}""", 422, "impossible", "/horizonDays")]
    [InlineData("""{"on":"01.02.2026"}""", 400, "malformed", "/on")]
    [InlineData("""{"adjustments":[{"kind":"flocking"}]}""", 422, "impossible", "/adjustments/0/zones")]
    [InlineData("""{"adjustments":[{"zones":[{"side":"left","zone":"front","mm":1}]}]}""", 422, "impossible", "/adjustments/0/kind")]
    [InlineData("""{"adjustments":[{"kind":"flocking","zones":[{"side":"left","zone":"front","mm":51}]}]}""", 422, "impossible", "/adjustments/0/zones/0/mm")]
    [InlineData("""{"adjustments":[{"kind":"flocking","zones":[{"side":"left","zone":"front","mm":1},{"side":"left","zone":"front","mm":2}]}]}""", 422, "impossible", "/adjustments/0/zones/1")]
    [InlineData("""{"treeShape":{"stations":[{"station":"T4","width150Mm":320}]}}""", 422, "impossible", "/treeShape/stations/0/station")]
    [InlineData("""{"treeShape":{"from":"2026-11-25","stations":[{"station":"T13","width150Mm":320}]}}""", 400, "unknown-member", "/treeShape/from")]
    [InlineData("""{"adjust":[]}""", 400, "unknown-member", "/adjust")]
    public async Task WhatIf_badInput_saysWhere(string body, int status, string kind, string pointer)
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);

        (await service.Admin.PostTextAsync($"/v1/pairings/{yard.PairingId}/what-if", body)).ShouldPoint(status, kind, pointer);
    }

    [Theory]
    [InlineData("""{"adjustments":[{"kind":"flocking","zones":[{"side":"left","zone":"front","mm":4},{"side":"right","zone":"front","mm":4}]}]}""", true)]
    [InlineData("""{"padMm":6}""", true)]
    [InlineData("""{"adjustments":[{"kind":"flocking","zones":[{"side":"left","zone":"front","mm":-4},{"side":"right","zone":"front","mm":-4}]}]}""", false)]
    [InlineData("""{"adjustments":[{"kind":"tree","zones":[{"side":"left","zone":"front","mm":8},{"side":"right","zone":"front","mm":8}]}]}""", false)]
    public async Task WhatIf_thicknessUnderANarrowTree_isWarnedOf(string body, bool warned)
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { WiderMm = 25 });

        var warnings = (await AskAsync(service, yard, body))["warnings"]!.AsArray().Select(warning => warning!.GetValue<string>()).ToList();

        Assert.Equal(warned, warnings.Count == 1);
        Assert.All(warnings, warning => Assert.Matches(@"^Tree [^(]+ \(limit [^(]+\)\. Padding never cures a narrow saddle: more thickness makes it narrower still\.$", warning));
    }

    [Fact]
    public async Task WhatIf_unequalFlockingUnderAnOpenVetFirstSign_isWarnedOf()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureAsync(new() { DipMm = 24 });
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = yard.TodayText, kind = "swelling", station = "T13", note = "Left of the spine." });

        var unequal = await AskAsync(service, yard, """{"adjustments":[{"kind":"flocking","zones":[{"side":"left","zone":"middle","mm":4}]}]}""");
        var equal = await AskAsync(service, yard, """{"adjustments":[{"kind":"flocking","zones":[{"side":"left","zone":"middle","mm":4},{"side":"right","zone":"middle","mm":4}]}]}""");

        Assert.Contains("vet-first sign is open", Assert.Single(unequal["warnings"]!.AsArray())!.GetValue<string>(), StringComparison.Ordinal);
        Assert.Empty(equal["warnings"]!.AsArray());
        Assert.StartsWith("Stop using the saddle until a vet", unequal["fit"]!["cautions"]![0]!.GetValue<string>(), StringComparison.Ordinal);
    }

    private static async Task<Reply> AskAsync(RunningService service, TracedYard yard, string body) =>
        (await service.Admin.PostTextAsync($"/v1/pairings/{yard.PairingId}/what-if", body)).Should(HttpStatusCode.OK);

    private static double Value(Reply reply, string key) =>
        (reply["findings"] ?? reply["fit"]!["findings"])!.AsArray().Single(finding => finding!["key"]!.GetValue<string>() == key)!["value"]!.GetValue<double>();

    private static DateOnly P20(JsonNode forecast) =>
        forecast["overall"]!["leavesToleranceOn"]!["p20"] is { } day ? DateOnly.Parse(day.GetValue<string>(), System.Globalization.CultureInfo.InvariantCulture) : DateOnly.MaxValue;
}
