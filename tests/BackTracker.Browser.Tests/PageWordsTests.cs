using BackTracker.Browser.Tests.Harness;
using BackTracker.Service.Tests.Harness;
using Microsoft.Playwright;

namespace BackTracker.Browser.Tests;

/// <summary>Pages say what holds, and offer what whoever looks may do.</summary>
[Collection(Pages.Name)]
public sealed class PageWordsTests(Browsing browsing)
{
    private ApiClient Api => browsing.Demo.Api;

    [Theory]
    [InlineData("read")]
    [InlineData("record")]
    [InlineData("fit")]
    public async Task EveryLink_thatAKeyIsShown_opensForIt(string scope)
    {
        var check = await browsing.OpenCheckAsync();
        var yard = check["yardId"]!.GetValue<string>();
        var horse = await Api.MakeAsync("/v1/horses", new { yardId = yard, name = $"Knot {scope}" });
        await Api.MakeAsync($"/v1/horses/{horse}/events", new { on = "2026-11-01", kind = "illness" });
        var seen = await Api.MakeAsync($"/v1/horses/{horse}/observations", new { observedOn = "2026-11-01", kind = "rub" });
        var key = await Api.PostAsync("/v1/keys", new { name = scope, scopes = new[] { scope }, yardIds = new[] { yard } });
        await using var window = await browsing.OpenAsync();
        await window.SignInAsync(key["secret"]!.GetValue<string>());

        foreach (var address in new[] { $"/yards/{yard}", $"/horses/{horse}", $"/checks/{check["id"]}", $"/observations/{seen}" })
        {
            await window.GoAsync(address);
            var links = await window.Page.Locator("main a[href^='/']").EvaluateAllAsync<string[]>("links => links.map(link => link.getAttribute('href').split('#')[0])");
            foreach (var link in links.Distinct().Where(link => address.StartsWith("/horses", StringComparison.Ordinal) || !link.StartsWith("/pairings", StringComparison.Ordinal)))
            {
                var response = await window.Page.Context.APIRequest.GetAsync(link);
                Assert.True(response.Status == 200, $"{address} leads to {link}: {response.Status}");
            }
        }
    }

    [Fact]
    public async Task SigningOut_isOfferedWhereNoYardIsShown_andOnlyToWhoIsSignedIn()
    {
        var yard = await Api.MakeAsync("/v1/yards", new { name = "Second", timeZone = "Europe/London" });
        var signOut = "form[action='/sign-out'] button";
        await using var window = await browsing.OpenAsync();
        await window.GoAsync("/sign-in");
        Assert.Equal(0, await window.Page.Locator(signOut).CountAsync());
        await window.SignInAsync(browsing.Demo.Secret);

        foreach (var address in new[] { "/", "/no-such-page", $"/yards/{yard}/no-such-page" })
        {
            await window.Page.GotoAsync(address);
            Assert.Equal(1, await window.Page.Locator(signOut).CountAsync());
        }
        await window.Page.Locator(signOut).ClickAsync();
        await window.Page.ArriveAsync("/sign-in");
    }

    [Fact]
    public async Task APairing_thatEnded_saysSo_andForecastsNothing()
    {
        var id = await DemoHorses.EndedPairingAsync(browsing);
        await using var window = await browsing.SignedInAsync();

        await window.GoAsync($"/pairings/{id}");

        Assert.Contains("Used until 3 February 2026", await window.Page.Locator("p.said").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal(0, await window.Page.GetByRole(AriaRole.Heading, new() { Name = "How long it will fit" }).CountAsync());
    }

    [Fact]
    public async Task TheNumbersOfAPairing_areNamedAsAFitterSaysThem()
    {
        await using var window = await browsing.SignedInAsync();

        await window.GoAsync($"/pairings/{await browsing.PairingIdAsync("Lapwing")}");

        var names = await window.Page.Locator("details th[scope=row]").AllTextContentsAsync();
        Assert.NotEmpty(names);
        Assert.Distinct(names);
        Assert.All(names, name => Assert.Matches("^[A-Z][a-z ]+(30 mm down|150 mm down)?( at T[0-9]+|, near T[0-9]+)?(, (left|right))?$", name));
    }
}
