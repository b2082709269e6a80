using BackTracker.Browser.Tests.Harness;
using BackTracker.Service.Tests.Harness;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace BackTracker.Browser.Tests;

/// <summary>Keys, subscriptions and settings, by keyboard alone on a phone's width, with and without script.</summary>
[Collection(Pages.Name)]
public sealed class YardAffairsTests(Browsing browsing)
{
    private ApiClient Api => browsing.Demo.Api;

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Key_isMade_shownOnce_signsIn_andIsEnded(bool script)
    {
        var name = $"Tablet {Guid.NewGuid():N}";
        var yard = await Api.MakeAsync("/v1/yards", new { name = "Low Meadow", timeZone = "UTC" });
        await using var window = await browsing.SignedInAsync(script: script);
        var page = window.Page;
        await window.GoAsync("/keys");
        await page.SendAsync("a[href='/keys/new']");
        await page.TypeIntoAsync("#f-name", name);
        await page.SendAsync("form.narrow > button");
        await Expect(page.Locator("#f-scopes .error")).ToHaveTextAsync("This is needed.");
        await page.TabToAsync("input[value=record]");
        await page.Keyboard.PressAsync("Space");
        await page.TabToAsync($"input[value='{yard}']");
        await page.Keyboard.PressAsync("Space");
        await page.SendAsync("form.narrow > button");

        var secret = await page.Locator(".secret code").InnerTextAsync();
        await window.KeepAsync("key-made");
        if (script)
            await window.AssertGoodAsync("key made");
        await page.ReloadAsync();
        await Expect(page.Locator(".secret")).ToHaveCountAsync(0);
        await using (var other = await browsing.OpenAsync())
        {
            await other.SignInAsync(secret);
            await Expect(other.Page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToHaveTextAsync("Low Meadow");
        }

        var made = (await Api.GetAsync("/v1/keys?limit=500")).Items.Single(key => key!["name"]!.GetValue<string>() == name)!;
        Assert.Equal($"[\"record\"] [\"{yard}\"]", $"{made["scopes"]!.ToJsonString()} {made["yardIds"]!.ToJsonString()}");
        await window.GoAsync("/keys");
        await page.SendAsync($"a[href='/keys/{made["id"]}/end']");
        await page.SendAsync("main form button");
        await Expect(page.GetByText("Recorded.")).ToBeVisibleAsync();
        Assert.NotNull((await Api.GetAsync($"/v1/keys/{made["id"]}"))["revokedAt"]);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Webhook_isSubscribed_tested_triedAgain_andEnded(bool script)
    {
        var yard = await Api.MakeAsync("/v1/yards", new { name = "High Meadow", timeZone = "UTC" });
        await using var window = await browsing.SignedInAsync(script: script);
        var page = window.Page;
        await window.GoAsync("/subscriptions/new");
        await page.TypeIntoAsync("#f-url", "http://receiver.larkfield.test/in");
        await page.TabToAsync($"input[value='{yard}']");
        await page.Keyboard.PressAsync("Space");
        await page.TabToAsync("input[value='backtracker.check.opened.v1']");
        await page.Keyboard.PressAsync("Space");
        await page.SendAsync("form.narrow > button");
        await Expect(page.Locator("#f-url[aria-invalid=true]")).ToBeVisibleAsync();
        await page.TypeIntoAsync("#f-url", "https://receiver.larkfield.test/in");
        await page.SendAsync("form.narrow > button");
        Assert.StartsWith("whsec_", await page.Locator(".secret code").InnerTextAsync(), StringComparison.Ordinal);

        await page.SendAsync("main a.button");
        await Expect(page.GetByText("Told where: A check is wanted.")).ToBeVisibleAsync();
        await page.SendAsync("form[action$='/test'] button");
        await Expect(page.GetByText("A test", new() { Exact = true })).ToBeVisibleAsync();
        await page.SendAsync("form[action*='/delivery-'] button");
        await window.KeepAsync("subscription-tested");
        var id = page.Url.Split('/')[^1];
        Assert.Single((await Api.GetAsync($"/v1/subscriptions/{id}/deliveries")).Items);
        await page.SendAsync("a[href$='/end']");
        await page.SendAsync("main form button");

        await Expect(page.GetByText("Recorded.")).ToBeVisibleAsync();
        Assert.NotNull((await Api.GetAsync($"/v1/subscriptions/{id}"))["endedAt"]);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Setting_ofAYard_isRefusedInWords_kept_andGivenBack(bool script)
    {
        var yard = await Api.MakeAsync("/v1/yards", new { name = "Mid Meadow", timeZone = "UTC" });
        await using var window = await browsing.SignedInAsync(script: script);
        var page = window.Page;
        await window.GoAsync($"/yards/{yard}/settings");
        await page.TypeIntoAsync("#f-riskLimit", "5");
        await page.TypeIntoAsync("#f-windowDays", "x");
        await page.SendAsync("main form > button");
        await Expect(page.Locator("#f-windowDays-error")).ToHaveTextAsync("Write a number, such as 12.5.");
        await page.TypeIntoAsync("#f-windowDays", "21");
        await page.SendAsync("main form > button");
        await Expect(page.Locator("#f-riskLimit-error")).ToHaveTextAsync("This cannot be 5: use a number from 0.01 to 0.9 (probability).");
        await page.TypeIntoAsync("#f-riskLimit", "0,2");
        await page.SendAsync("main form > button");

        await Expect(page.GetByText("21 days, set by this yard; usually 28 days")).ToBeVisibleAsync();
        Assert.Equal((.2, 21), (await ValueAsync(yard, "riskLimit"), await ValueAsync(yard, "windowDays")));
        await window.KeepAsync("settings-own");
        await page.TypeIntoAsync("#f-windowDays", "");
        await page.Keyboard.PressAsync("Delete");
        await page.SendAsync("main form > button");
        Assert.NotEqual(21, await ValueAsync(yard, "windowDays"));
        Assert.Equal(.2, await ValueAsync(yard, "riskLimit"));
    }

    [Fact]
    public async Task Pages_showNothing_thatTheKeyDoesNotAllow()
    {
        var yard = await MeasuringYard.MakeAsync(Api);
        await using var window = await browsing.OpenAsync();
        await window.SignInAsync(await yard.ManagersKeyAsync());
        await window.GoAsync($"/yards/{yard.YardId}/settings");

        await Expect(window.Page.Locator("main form")).ToHaveCountAsync(0);
        await Expect(window.Page.GetByRole(AriaRole.Link, new() { Name = "Keys" })).ToHaveCountAsync(0);
        foreach (var forbidden in new[] { "/keys", "/subscriptions" })
            Assert.Equal(403, (await window.Page.GotoAsync(forbidden))!.Status);
    }

    private async Task<double> ValueAsync(string yardId, string name) =>
        (await Api.GetAsync($"/v1/yards/{yardId}/policy"))["settings"]!.AsArray().Single(setting => setting!["name"]!.GetValue<string>() == name)!["value"]!.GetValue<double>();
}
