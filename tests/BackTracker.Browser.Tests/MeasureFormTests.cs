using System.Diagnostics;
using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Browser.Tests.Harness;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace BackTracker.Browser.Tests;

/// <summary>A measurement from the hand beside the horse to the advice, and what is done about the advice.</summary>
[Collection(Pages.Name)]
public sealed class MeasureFormTests(Browsing browsing)
{
    private static readonly string[] WidthFields = ["T8, first", "T8, second", "T13, first", "T13, second", "T18, first", "T18, second"];
    private static readonly string[] WidthsMm = ["251", "253", "312", "341", "330", "331"];

    [Fact]
    public async Task YardManager_measuresInTwoMinutesAndTwentyTaps_andSeesTheAdviceFirst()
    {
        await using var window = await browsing.OpenAsync();
        var yard = await MeasuringYard.MakeAsync(browsing.Demo.Api);
        var secret = await yard.ManagersKeyAsync();
        var (page, taps, watch) = (window.Page, 0, Stopwatch.StartNew());
        async Task TapAsync(ILocator what)
        {
            taps++;
            await what.TapAsync();
        }
        await window.GoAsync("/sign-in");

        await TapAsync(page.GetByLabel("Your key"));
        await page.Keyboard.TypeAsync(secret);
        await TapAsync(page.GetByRole(AriaRole.Button, new() { Name = "Sign in" }));
        await TapAsync(page.GetByRole(AriaRole.Link, new() { Name = "Measure Bracken" }));
        await TapAsync(page.GetByLabel(WidthFields[0]));
        foreach (var width in WidthsMm[..^1])
        {
            await page.Keyboard.TypeAsync(width);
            taps++;
            await page.Keyboard.PressAsync("Enter");
        }
        await page.Keyboard.TypeAsync(WidthsMm[^1]);
        await TapAsync(page.GetByRole(AriaRole.Button, new() { Name = "Record" }));
        var advice = page.GetByText("The two repeats of the width at T13, 150 mm down are 312 mm and 341 mm");

        await Expect(advice).ToBeInViewportAsync();
        await Expect(page.GetByRole(AriaRole.Link, new() { Name = "Take T13 again" })).ToBeInViewportAsync();
        Assert.InRange(taps, 1, 20);
        Assert.InRange(watch.Elapsed, TimeSpan.Zero, TimeSpan.FromSeconds(120));
        await window.KeepAsync("measurement-advice");
        await window.AssertGoodAsync("measurement");
        var recorded = Assert.Single(await yard.MeasurementsAsync());
        Assert.Equal(yard.ManagerId, Text(recorded, "measuredBy"));
        Assert.Equal("flexible-curve", Text(recorded, "method"));
        Assert.Equal("before", Text(recorded, "exercise"));
        Assert.Equal("2026-11-25T09:00:00.000Z", Text(recorded, "measuredAt"));
        Assert.Equal([251d, 253, 312, 341, 330, 331], recorded["widths"]!.AsArray().Select(w => w!["widthMm"]!.GetValue<double>()));
        Assert.Equal(["T8 150 1", "T8 150 2", "T13 150 1", "T13 150 2", "T18 150 1", "T18 150 2"], recorded["widths"]!.AsArray().Select(w => $"{w!["station"]} {w["depthMm"]} {w["repeat"]}"));
    }

    [Fact]
    public async Task SharedKey_withoutScript_saysWhoOnce_andAfterWorkIsSaid()
    {
        var yard = await MeasuringYard.MakeAsync(browsing.Demo.Api);
        await using var window = await OpenAsync(yard, await yard.SharedKeyAsync(), script: false);
        var page = window.Page;
        await page.GetByLabel("Who measured").SelectOptionAsync("Nell Farrow");
        await page.GetByLabel("Before or after work").SelectOptionAsync("After work");
        await page.GetByLabel("When").FillAsync("2026-10-25T03:15");
        await page.GetByText("Weight, girth, stance and a note").ClickAsync();
        await page.GetByLabel("Weight, kg").FillAsync("482,5");
        await page.GetByLabel("Stood square").SelectOptionAsync("No");
        await FillWidthsAsync(page);
        await RecordAsync(page);

        await Expect(page.GetByText("Measured after work: it is shown but not trended")).ToBeVisibleAsync();
        await Expect(page.GetByText("The horse did not stand square")).ToBeVisibleAsync();
        var recorded = Assert.Single(await yard.MeasurementsAsync());
        Assert.Equal("after", Text(recorded, "exercise"));
        Assert.Equal("2026-10-25T07:15:00.000Z", Text(recorded, "measuredAt"));
        Assert.Equal(482.5, recorded["weightKg"]!.GetValue<double>());
        await window.GoAsync(yard.Form);
        await Expect(page.GetByLabel("Who measured")).ToHaveValueAsync(yard.ManagerId);
    }

    [Fact]
    public async Task Keyboard_alone_recordsAMeasurement()
    {
        var yard = await MeasuringYard.MakeAsync(browsing.Demo.Api);
        await using var window = await OpenAsync(yard, await yard.ManagersKeyAsync());
        foreach (var (field, width) in WidthFields.Zip(WidthsMm))
        {
            await TabToAsync(window.Page, window.Page.GetByLabel(field));
            await window.Page.Keyboard.TypeAsync(width);
        }
        await TabToAsync(window.Page, window.Page.GetByRole(AriaRole.Button, new() { Name = "Record" }));
        await window.Page.Keyboard.PressAsync("Space");

        await window.Page.ArriveAsync(url => url.Contains("/measurements/", StringComparison.Ordinal));
        Assert.Single(await yard.MeasurementsAsync());
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Slip_betweenCmAndMm_isShownBesideItsField_andWhatWasTypedStays(bool script)
    {
        var yard = await MeasuringYard.MakeAsync(browsing.Demo.Api);
        await using var window = await OpenAsync(yard, await yard.ManagersKeyAsync(), script);
        var page = window.Page;
        await FillWidthsAsync(page, "251", "", "31");
        await page.GetByRole(AriaRole.Button, new() { Name = "Record" }).ClickAsync();

        await Expect(page.GetByLabel("T13, first")).ToHaveAccessibleDescriptionAsync("31 mm wide: did you mean 31 cm, 310 mm?");
        await Expect(page.GetByLabel("T13, first")).ToHaveValueAsync("31");
        await Expect(page.GetByLabel("T8, first")).ToHaveValueAsync("251");
        await window.KeepAsync("measure-refused");
        if (script)
            await window.AssertGoodAsync("refused measurement"); // axe needs script
        Assert.Empty(await yard.MeasurementsAsync());
        await page.GetByLabel("T13, first").FillAsync("310");
        await RecordAsync(page);
        Assert.Single(await yard.MeasurementsAsync());
    }

    [Fact]
    public async Task EmptyForm_saysWhatIsMissing()
    {
        var yard = await MeasuringYard.MakeAsync(browsing.Demo.Api);
        await using var window = await OpenAsync(yard, await yard.ManagersKeyAsync());
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Record" }).ClickAsync();

        await Expect(window.Page.GetByRole(AriaRole.Alert)).ToContainTextAsync("Nothing was measured");
    }

    [Fact]
    public async Task Traces_pastedWithDecimalCommas_areRecorded_onceEveryLineCanBeRead()
    {
        var yard = await MeasuringYard.MakeAsync(browsing.Demo.Api);
        await using var window = await OpenAsync(yard, await yard.ManagersKeyAsync());
        var page = window.Page;
        await page.GetByRole(AriaRole.Link, new() { Name = "Traces instead" }).ClickAsync();
        var lines = Enumerable.Range(-30, 61).Select(step => string.Create(CultureInfo.InvariantCulture, $"{step * 5.0:0.0};{step * step * 25 / 140.0:0.0}").Replace('.', ',')).ToList();
        var drawing = page.GetByLabel("T13, first drawing: x y");
        await drawing.FillAsync(string.Join("\n", [.. lines[..13], "smudged", .. lines[13..]]));
        await page.GetByLabel("T13, first drawing: midline").FillAsync("0 0");
        await page.GetByLabel("T13, first drawing: level").FillAsync("-100 0\n100 0");
        await page.GetByRole(AriaRole.Button, new() { Name = "Record" }).ClickAsync();
        await Expect(drawing).ToHaveAccessibleDescriptionAsync(new System.Text.RegularExpressions.Regex("line 14: no two numbers"));
        await window.KeepAsync("measure-trace-refused");

        await drawing.FillAsync(string.Join("\n", lines));
        await RecordAsync(page);

        var trace = Assert.Single(Assert.Single(await yard.MeasurementsAsync())["traces"]!.AsArray())!;
        Assert.Equal("T13", Text(trace, "station"));
        Assert.Equal(61, trace["points"]!.AsArray().Count);
        Assert.Equal("[-150,160.7]", trace["points"]![0]!.ToJsonString());
        Assert.Equal("[[-100,0],[100,0]]", trace["level"]!.ToJsonString());
    }

    [Fact]
    public async Task Form_sentTwice_recordsOnce()
    {
        var yard = await MeasuringYard.MakeAsync(browsing.Demo.Api);
        await using var window = await OpenAsync(yard, await yard.ManagersKeyAsync());
        var received = 0;
        await window.Page.RouteAsync("**/measure", async route =>
        {
            if (route.Request.Method == "POST")
                received = (await route.FetchAsync(new() { MaxRedirects = 0 })).Status;
            await route.ContinueAsync();
        });
        await FillWidthsAsync(window.Page);
        await RecordAsync(window.Page);

        Assert.Equal(302, received);
        Assert.EndsWith($"/measurements/{Text(Assert.Single(await yard.MeasurementsAsync()), "id")}", window.Page.Url, StringComparison.Ordinal);
    }

    [Fact]
    public async Task TakenAgain_replacesTheStation_andKeepsEverythingElse()
    {
        var yard = await MeasuringYard.MakeAsync(browsing.Demo.Api);
        object Width(string station, int depthMm, double widthMm, int repeat) => new { station, depthMm, widthMm, repeat };
        await yard.Api.MakeAsync($"/v1/horses/{yard.HorseId}/measurements", new
        {
            measuredAt = "2026-11-24T15:00:00Z",
            measuredBy = yard.ManagerId,
            method = "arm-gauge",
            exercise = "before",
            withersHeightMm = 1480,
            note = "Windy",
            widths = new[] { Width("T10", 70, 210, 3), Width("T13", 150, 312, 1), Width("T13", 150, 341, 2), Width("T13", 30, 101, 1) },
        });
        await using var window = await OpenAsync(yard, await yard.ManagersKeyAsync());
        await window.GoAsync($"/measurements/{Text((await yard.MeasurementsAsync())[0], "id")}");
        await window.Page.GetByRole(AriaRole.Link, new() { Name = "Take T13 again" }).ClickAsync();
        await window.AssertGoodAsync("taken again");
        await window.Page.GetByLabel("T13, second").FillAsync("314");
        await RecordAsync(window.Page);

        var (old, now) = ((await yard.MeasurementsAsync())[0], (await yard.MeasurementsAsync())[1]);
        Assert.Equal(Text(now, "id"), Text(old, "replacedBy"));
        Assert.Equal(314, now["widths"]!.AsArray().Single(w => w!["station"]!.GetValue<string>() == "T13" && w["repeat"]!.GetValue<int>() == 2)!["widthMm"]!.GetValue<double>());
        Assert.Equal(4, now["widths"]!.AsArray().Count);
        foreach (var kept in new[] { "measuredAt", "method", "note", "withersHeightMm" })
            Assert.Equal(old[kept]!.ToJsonString(), now[kept]!.ToJsonString());
        Assert.Contains(now["widths"]!.AsArray(), w => w!["station"]!.GetValue<string>() == "T10" && w["depthMm"]!.GetValue<int>() == 70 && w["repeat"]!.GetValue<int>() == 3);
    }

    [Fact]
    public async Task Measurement_isVoidedForAReason()
    {
        var yard = await MeasuringYard.MakeAsync(browsing.Demo.Api);
        await using var window = await OpenAsync(yard, await yard.ManagersKeyAsync());
        await FillWidthsAsync(window.Page);
        await RecordAsync(window.Page);
        await window.Page.GetByText("Void this measurement").ClickAsync();
        await window.Page.GetByLabel("Why").FillAsync("It was the bay next door");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Void" }).ClickAsync();

        await Expect(window.Page.GetByText("Voided, it does not count any more: It was the bay next door")).ToBeVisibleAsync();
        Assert.Equal("It was the bay next door", Text(Assert.Single(await yard.MeasurementsAsync()), "voidReason"));
    }

    private async Task<Window> OpenAsync(MeasuringYard yard, string secret, bool script = true)
    {
        var window = await browsing.OpenAsync(script: script);
        await window.SignInAsync(secret);
        await window.GoAsync(yard.Form);
        return window;
    }

    private static async Task FillWidthsAsync(IPage page, params string[] widths)
    {
        foreach (var (field, width) in WidthFields.Zip(widths.Length > 0 ? widths : WidthsMm))
            await page.GetByLabel(field).FillAsync(width);
    }

    private static async Task RecordAsync(IPage page)
    {
        await page.GetByRole(AriaRole.Button, new() { Name = "Record" }).ClickAsync();
        await page.ArriveAsync(url => url.Contains("/measurements/", StringComparison.Ordinal));
    }

    private static async Task TabToAsync(IPage page, ILocator what)
    {
        for (var presses = 0; presses < 60; presses++)
        {
            if (await what.EvaluateAsync<bool>("e => e === document.activeElement"))
                return;
            await page.Keyboard.PressAsync("Tab");
        }
        Assert.Fail("Not reached by the keyboard.");
    }

    private static string Text(JsonNode node, string member) => node[member]!.GetValue<string>();
}
