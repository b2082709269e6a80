using BackTracker.Browser.Tests.Harness;
using Microsoft.Playwright;

namespace BackTracker.Browser.Tests.Horses;

/// <summary>Events and phases are entered on a phone, by keyboard alone and without script, and refused beside the field that is wrong.</summary>
[Collection(Pages.Name)]
public sealed class HorseFormTests(Browsing browsing)
{
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Event_isAddedByKeyboardAlone(bool script)
    {
        var id = await DemoHorses.NewAsync(browsing, "Finch");
        await using var window = await browsing.SignedInAsync(Look.Phone, script);
        await window.GoAsync($"/horses/{id}/events");
        await TabToAsync(window, "What");

        await window.Page.Keyboard.TypeAsync("Lay");
        await TabToAsync(window, "Note");
        await window.Page.Keyboard.TypeAsync("Cast a shoe and pulled a tendon.");
        await window.Page.Keyboard.PressAsync("Tab");
        await window.Page.Keyboard.PressAsync("Enter");

        await window.Page.ArriveAsync($"/horses/{id}");
        Assert.Equal("Recorded.", await window.Page.GetByRole(AriaRole.Status).InnerTextAsync());
        await window.KeepAsync("recorded");
        if (script)
            await window.AssertGoodAsync("recorded");
        Assert.Contains("Cast a shoe", await window.Page.Locator("section[aria-labelledby=history]").InnerTextAsync(), StringComparison.Ordinal);
        var recorded = Assert.Single((await browsing.Demo.Api.GetAsync($"/v1/horses/{id}/events")).Items)!;
        Assert.Equal(("lay-off", "2026-11-25", false), (recorded["kind"]!.GetValue<string>(), recorded["on"]!.GetValue<string>(), recorded["planned"]!.GetValue<bool>()));
    }

    [Fact]
    public async Task Event_stillToCome_isRefusedUntilItIsPlanned_andKeepsWhatWasFilledIn()
    {
        var id = await DemoHorses.NewAsync(browsing, "Dunnock");
        await using var window = await browsing.SignedInAsync();
        await window.GoAsync($"/horses/{id}/events");
        await window.Page.GetByLabel("What").SelectOptionAsync("start-of-work");
        await window.Page.GetByLabel("Day").FillAsync("2026-12-14");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Add the event" }).ClickAsync();

        await window.Page.GetByRole(AriaRole.Alert).WaitForAsync();
        Assert.Contains("still to come", await window.Page.Locator("#f-planned-error").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal("start-of-work", await window.Page.GetByLabel("What").InputValueAsync());
        Assert.Equal("true", await window.Page.GetByLabel("Seen or planned").GetAttributeAsync("aria-invalid"));

        await window.Page.GetByLabel("Seen or planned").SelectOptionAsync("true");
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Add the event" }).ClickAsync();
        await window.Page.ArriveAsync($"/horses/{id}");
        Assert.True(Assert.Single((await browsing.Demo.Api.GetAsync($"/v1/horses/{id}/events")).Items)!["planned"]!.GetValue<bool>());
    }

    [Fact]
    public async Task Event_sentAfterTheSessionEnded_isKeptByTheBrowser_andTakenOnceSignedInElsewhere()
    {
        var id = await DemoHorses.NewAsync(browsing, "Brambling");
        await using var window = await browsing.SignedInAsync(script: false);
        await window.GoAsync($"/horses/{id}/events");
        await window.Page.GetByLabel("What").SelectOptionAsync("lay-off");
        await window.Page.Context.ClearCookiesAsync(new() { Name = "backtracker" });
        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Add the event" }).ClickAsync();
        await window.KeepAsync("signed-out");

        var elsewhere = await window.Page.RunAndWaitForPopupAsync(() => window.Page.GetByRole(AriaRole.Link, new() { Name = "Sign in in another window" }).ClickAsync());
        await elsewhere.GetByLabel("Your key").FillAsync(browsing.Demo.Secret);
        await elsewhere.GetByRole(AriaRole.Button, new() { Name = "Sign in" }).ClickAsync();
        await elsewhere.ArriveAsync(url => !url.Contains("/sign-in", StringComparison.Ordinal));
        Assert.Empty((await browsing.Demo.Api.GetAsync($"/v1/horses/{id}/events")).Items);
        await window.Page.ReloadAsync();

        await window.Page.ArriveAsync($"/horses/{id}");
        Assert.Equal("lay-off", Assert.Single((await browsing.Demo.Api.GetAsync($"/v1/horses/{id}/events")).Items)!["kind"]!.GetValue<string>());
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Phase_isBegunByKeyboardAlone(bool script)
    {
        var id = await DemoHorses.NewAsync(browsing, "Siskin");
        await using var window = await browsing.SignedInAsync(Look.Phone, script);
        await window.GoAsync($"/horses/{id}/phases");
        await TabToAsync(window, "Phase");

        await window.Page.Keyboard.TypeAsync("Cond");
        await TabToAsync(window, "Begin the phase");
        await window.Page.Keyboard.PressAsync("Enter");

        await window.Page.ArriveAsync($"/horses/{id}");
        Assert.Contains("Conditioning since 25 November 2026", await window.Page.Locator("main").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal("conditioning", Assert.Single((await browsing.Demo.Api.GetAsync($"/v1/horses/{id}/phases")).Items)!["phase"]!.GetValue<string>());
    }

    [Fact]
    public async Task Phase_withoutAName_isRefusedBesideItsField()
    {
        var id = await DemoHorses.NewAsync(browsing, "Twite");
        await using var window = await browsing.SignedInAsync(script: false);
        await window.GoAsync($"/horses/{id}/phases");

        await window.Page.GetByRole(AriaRole.Button, new() { Name = "Begin the phase" }).ClickAsync();

        Assert.True(await window.Page.Locator("#f-phase-error").IsVisibleAsync());
        Assert.Equal("true", await window.Page.GetByLabel("Phase").GetAttributeAsync("aria-invalid"));
        Assert.Empty((await browsing.Demo.Api.GetAsync($"/v1/horses/{id}/phases")).Items);
    }

    /// <summary>Goes on with Tab until the field or button of that name has the focus.</summary>
    private static async Task TabToAsync(Window window, string name)
    {
        for (var i = 0; i < 30; i++)
        {
            await window.Page.Keyboard.PressAsync("Tab");
            var focused = window.Page.Locator(":focus");
            if (await focused.CountAsync() == 1 && await focused.EvaluateAsync<string>("e => (e.labels?.[0] ?? e).innerText") == name)
                return;
        }
        Assert.Fail($"Tab never came to {name}.");
    }
}
