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

    [Fact]
    public async Task Page_treeByWidths_saysThatTooLittleIsKnown_andDrawsNothingUnderTheRider()
    {
        await using var window = await browsing.SignedInAsync(Look.Phone);
        await window.GoAsync($"/pairings/{await browsing.PairingIdAsync("Rowan")}");

        Assert.Contains("Too little is known", await window.Page.Locator("section[aria-labelledby=advice]").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal(0, await window.Page.Locator("section[aria-labelledby=under]").CountAsync());
    }
}
