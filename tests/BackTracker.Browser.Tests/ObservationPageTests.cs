using BackTracker.Browser.Tests.Harness;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Browser.Tests;

/// <summary>A sign is recorded and closed with the keyboard alone on a phone's width; what a vet has to see first stops the saddle's checks.</summary>
[Collection(Pages.Name)]
public sealed class ObservationPageTests(Browsing browsing)
{
    private ApiClient Api => browsing.Demo.Api;

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task AVetFirstSign_stopsTheChecksOfTheSaddle_untilAVetsOutcome(bool script)
    {
        var check = await browsing.OpenCheckAsync();
        var horseId = check["horseId"]!.GetValue<string>();
        await using var window = await browsing.SignedInAsync(script: script);
        var page = window.Page;

        await window.GoAsync($"/horses/{horseId}/observe");
        Assert.Contains("A vet looks first; do not use the saddle", await page.InnerTextAsync("fieldset:has([value=heat]) legend"), StringComparison.Ordinal);
        await page.TurnYearAsync("#f-observedOn", "ArrowUp");
        await page.TabToAsync("[name='/kind']");
        await page.Keyboard.PressAsync("Space");
        await page.Keyboard.PressAsync("ArrowDown");
        await page.SendAsync("form.narrow > button");
        await page.Locator("#f-observedOn[aria-invalid=true]").WaitForAsync();
        Assert.True(await page.IsCheckedAsync("[value=heat]"));
        await page.TurnYearAsync("#f-observedOn", "ArrowDown");
        await page.SendAsync("form.narrow > button");

        await page.Locator("p.stop").WaitForAsync();
        var seenId = page.Url.Split('/')[^1];
        Assert.Equal("heat", (await Api.GetAsync($"/v1/observations/{seenId}"))["kind"]!.GetValue<string>());
        await window.GoAsync($"/checks/{check["id"]!.GetValue<string>()}");
        await window.KeepAsync("check-vet-first");
        Assert.Equal(0, await page.Locator("main form").CountAsync());
        await page.EnterAsync($"a[href='/observations/{seenId}']");
        await page.ArriveAsync(url => url.Contains("/observations/", StringComparison.Ordinal));
        await window.KeepAsync("observation-vet-first");
        await page.TabToAsync("#f-outcome");
        await page.Keyboard.TypeAsync("Cleared");
        await page.TypeIntoAsync("#f-note", "A bruise, gone.");
        await page.SendAsync("form.narrow > button");

        var closed = await Api.GetAsync($"/v1/observations/{seenId}");
        Assert.Equal("vet", closed["outcome"]!["role"]!.GetValue<string>());
        Assert.Equal("A bruise, gone.", closed["outcome"]!["note"]!.GetValue<string>());
        await window.GoAsync($"/checks/{check["id"]!.GetValue<string>()}");
        Assert.True(await page.Locator("main form").CountAsync() > 0);
    }
}
