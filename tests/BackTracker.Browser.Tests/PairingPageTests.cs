using BackTracker.Browser.Tests.Harness;
using Microsoft.Playwright;

namespace BackTracker.Browser.Tests;

/// <summary>A saddle on a horse: what can be done at its panel, and how it presses under its rider.</summary>
[Collection(Pages.Name)]
public sealed class PairingPageTests(Browsing browsing)
{
    [Theory]
    [InlineData(Look.Phone)]
    [InlineData(Look.Desk)]
    public async Task Page_narrowTree_saysThatOnlyTheTreeHelps_andShowsItUnderItsRider(Look look)
    {
        await using var window = await browsing.SignedInAsync(look);
        await window.GoAsync($"/pairings/{await browsing.PairingIdAsync("Lapwing")}");

        var (panel, rider) = (window.Page.Locator("section[aria-labelledby=advice]"), window.Page.Locator("section[aria-labelledby=under]"));

        Assert.Contains("Padding never cures a narrow saddle. Only the tree can be altered", await panel.InnerTextAsync(), StringComparison.Ordinal);
        Assert.True(await rider.GetByRole(AriaRole.Img, new() { NameRegex = new("under its rider") }).IsVisibleAsync());
        Assert.Equal(3, await rider.Locator("tbody tr").CountAsync());
        Assert.Contains("A static picture of a rigid tree on a still horse", await rider.InnerTextAsync(), StringComparison.Ordinal);
        Assert.DoesNotContain("kPa", await window.Page.InnerTextAsync("main"), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task WhatIf_byKeyboard_showsWhatAChangeWouldBring_besideWhatIs_andRecordsNothing(bool script)
    {
        var pairing = await browsing.PairingIdAsync("Lapwing");
        var saddle = (await browsing.Demo.Api.GetAsync($"/v1/pairings/{pairing}"))["saddleId"]!.GetValue<string>();
        var before = (await browsing.Demo.Api.GetAsync($"/v1/saddles/{saddle}/adjustments")).Items.Count;
        await using var window = await browsing.SignedInAsync(Look.Phone, script: script);
        var page = window.Page;
        await window.GoAsync($"/pairings/{pairing}");
        await page.EnterAsync($"a[href='/pairings/{pairing}/what-if']");
        await page.ArriveAsync("/what-if");

        await page.TabToAsync("[id='f-adjustments-0-kind']");
        await page.Keyboard.TypeAsync("Tree");
        await page.TypeIntoAsync("[id='f-adjustments-0-zones-0-mm']", "much");
        await page.SendAsync("form.narrow > button");
        Assert.Equal("true", await page.Locator("[id='f-adjustments-0-zones-0-mm']").GetAttributeAsync("aria-invalid"));
        for (var zone = 0; zone < 6; zone++)
            await page.TypeIntoAsync($"[id='f-adjustments-0-zones-{zone}-mm']", "8");
        await page.SendAsync("form.narrow > button");

        var answer = await page.Locator("#answer").InnerTextAsync();
        var (now, supposed) = (answer[..answer.IndexOf("As supposed", StringComparison.Ordinal)], answer[answer.IndexOf("As supposed", StringComparison.Ordinal)..]);
        Assert.Contains("narrower than the back at T8", now, StringComparison.Ordinal);
        Assert.DoesNotContain("Tree 20 mm narrower than the back at T8", supposed, StringComparison.Ordinal);
        Assert.Equal("8", await page.InputValueAsync("[id='f-adjustments-0-zones-5-mm']"));
        await window.KeepAsync($"what-if-answered-{script}");
        if (script) // The accessibility check runs in the page itself.
            await window.AssertGoodAsync("what-if answered");
        Assert.Equal(before, (await browsing.Demo.Api.GetAsync($"/v1/saddles/{saddle}/adjustments")).Items.Count);
    }

    [Fact]
    public async Task Page_treeByWidths_saysThatTooLittleIsKnown_andDrawsNothingUnderTheRider()
    {
        await using var window = await browsing.SignedInAsync(Look.Phone);
        await window.GoAsync($"/pairings/{await browsing.PairingIdAsync("Rowan")}");

        Assert.Contains("Too little is known", await window.Page.Locator("section[aria-labelledby=advice]").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal(0, await window.Page.Locator("section[aria-labelledby=under]").CountAsync());
    }
}
