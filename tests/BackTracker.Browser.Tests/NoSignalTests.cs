using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Browser.Tests.Harness;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace BackTracker.Browser.Tests;

/// <summary>Measuring where there is no signal: over https, with the network really cut.</summary>
public sealed class NoSignalTests(SecureYard secure) : IClassFixture<SecureYard>
{
    private static readonly (string Field, string Width)[] Widths = [("T8, first", "251"), ("T8, second", "253"), ("T13, first", "312"), ("T13, second", "314"), ("T18, first", "330")];

    [Fact]
    public async Task Measured_withoutSignal_inATabThatWasClosed_isSentOnce_whenTheSignalIsBack()
    {
        var (yard, phone) = await StartAsync();
        await using var _ = phone;
        await phone.SignalAsync(Signal.None);
        await phone.OpenAsync(yard.Form);
        await phone.Page.GetByLabel("T8, first").FillAsync("251");
        await phone.OpenAsync("/");
        await Expect(phone.Page.GetByText("There is no signal")).ToBeVisibleAsync();
        await Expect(Line(phone, "Bracken")).ToContainTextAsync("Unfinished");
        await phone.Tab.KeepAsync("no-signal");
        await phone.Tab.AssertGoodAsync("no signal");

        await phone.Page.Locator("#kept").GetByRole(AriaRole.Link, new() { Name = "Bracken" }).ClickAsync();
        await Expect(phone.Page.GetByLabel("T8, first")).ToHaveValueAsync("251");
        await FillAsync(phone.Page);
        await RecordAsync(phone);
        await Expect(Line(phone, "Bracken")).ToContainTextAsync("Waiting");
        Assert.Empty(await yard.MeasurementsAsync());
        await phone.SignalAsync(Signal.Good);

        await Expect(Line(phone, "Bracken")).ToContainTextAsync("Sent");
        var measured = Assert.Single(await yard.MeasurementsAsync());
        Assert.Equal([251d, 253, 312, 314, 330], measured["widths"]!.AsArray().Select(w => w!["widthMm"]!.GetValue<double>()));
        Assert.Equal(yard.ManagerId, Text(measured, "measuredBy"));
        Assert.Equal(0, await phone.DraftsAsync());
        await phone.Page.ReloadAsync();
        Assert.Single(await yard.MeasurementsAsync());
    }

    [Fact]
    public async Task Answer_thatIsLost_andAskedForAgain_recordsOnce()
    {
        var (yard, phone) = await StartAsync();
        await using var _ = phone;
        await phone.OpenAsync(yard.Form);
        List<HttpStatusCode> lost = [];
        await phone.Page.RouteAsync("**/measure", async route =>
        {
            if (route.Request.Method == "POST" && lost.Count < 2)
                lost.Add(await secure.LoseAnswerAsync(route));
            else
                await route.ContinueAsync();
        });
        await FillAsync(phone.Page);
        await RecordAsync(phone);
        await phone.Page.ArriveAsync("/waiting");
        await Expect(Line(phone, "Bracken")).ToContainTextAsync("Waiting");
        Assert.Single(await yard.MeasurementsAsync());

        await phone.Page.ReloadAsync();

        await Expect(Line(phone, "Bracken")).ToContainTextAsync("Sent");
        Assert.Equal([HttpStatusCode.Found, HttpStatusCode.Found], lost);
        Assert.Single(await yard.MeasurementsAsync());
    }

    [Fact]
    public async Task Refused_isKept_saysWhy_andIsSentOnceItWasMended()
    {
        var (yard, phone) = await StartAsync();
        await using var _ = phone;
        await RecordWithoutSignalAsync(yard, phone, "31");
        await phone.SignalAsync(Signal.Good);
        await Expect(Line(phone, "Bracken")).ToContainTextAsync("Refused");
        await Expect(Line(phone, "Bracken")).ToContainTextAsync("31 mm wide: did you mean 31 cm, 310 mm?");
        await phone.Tab.KeepAsync("no-signal-refused");

        await Line(phone, "Bracken").GetByRole(AriaRole.Link, new() { Name = "Bracken" }).ClickAsync();
        await Expect(phone.Page.GetByLabel("T13, first")).ToHaveAccessibleDescriptionAsync("31 mm wide: did you mean 31 cm, 310 mm?");
        await phone.Tab.AssertGoodAsync("refused draft");
        await phone.Page.GetByLabel("T13, first").FillAsync("310");
        await RecordAsync(phone);

        await phone.Page.ArriveAsync(url => url.Contains("/measurements/", StringComparison.Ordinal));
        Assert.Equal(310, Assert.Single(await yard.MeasurementsAsync())["widths"]!.AsArray()[2]!["widthMm"]!.GetValue<double>());
        Assert.Equal(0, await phone.DraftsAsync());
    }

    [Fact]
    public async Task Draft_isNotAnothersToSend_andSigningOutSaysThatItWaits()
    {
        var (yard, phone) = await StartAsync();
        await using var _ = phone;
        await phone.OpenAsync(yard.Form);
        await phone.SignalAsync(Signal.None);
        await FillAsync(phone.Page);
        await RecordAsync(phone);
        await Expect(Line(phone, "Bracken")).ToContainTextAsync("Waiting");
        await phone.Page.RouteAsync("**/measure", route => route.AbortAsync());
        await phone.SignalAsync(Signal.Good);
        await phone.Page.GotoAsync($"/yards/{yard.YardId}");
        await phone.Page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).ClickAsync();
        await Expect(phone.Page.GetByText("Not signed out yet")).ToBeVisibleAsync();
        await phone.Page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).ClickAsync();
        await phone.Page.ArriveAsync("/sign-in");
        await phone.HoldsAsync("!await caches.has('forms')");

        await phone.SignInAsync(await yard.SharedKeyAsync(), yard.Form);
        await phone.OpenAsync("/waiting");
        await Expect(phone.Page.GetByText("1 more on this phone is somebody else's")).ToBeVisibleAsync();
        await Expect(phone.Page.Locator("#drafts li")).ToHaveCountAsync(0);
        Assert.Empty(await yard.MeasurementsAsync());
        await phone.SignInAsync(await yard.ManagersKeyAsync(), yard.Form);

        await Expect(phone.Page.GetByText("Sent: Bracken.")).ToBeVisibleAsync();
        Assert.Equal(yard.ManagerId, Text(Assert.Single(await yard.MeasurementsAsync()), "measuredBy"));
    }

    [Fact]
    public async Task SignIn_thatHasEnded_isAskedFor_andWhatWaitsIsSentAfterIt()
    {
        var (yard, phone) = await StartAsync();
        await using var _ = phone;
        await RecordWithoutSignalAsync(yard, phone);
        await phone.ForgetSignInAsync();
        await phone.SignalAsync(Signal.Good);
        await phone.Page.GetByRole(AriaRole.Link, new() { Name = "Sign in again" }).ClickAsync();
        await phone.Page.GetByLabel("Your key").FillAsync(await yard.ManagersKeyAsync());
        await phone.Page.Keyboard.PressAsync("Enter");

        await Expect(Line(phone, "Bracken")).ToContainTextAsync("Sent");
        Assert.Single(await yard.MeasurementsAsync());
    }

    [Fact]
    public async Task Waiting_thatIsOpened_isNotSentUnderSomebodysHands()
    {
        var (yard, phone) = await StartAsync();
        await using var _ = phone;
        await RecordWithoutSignalAsync(yard, phone);
        await Line(phone, "Bracken").GetByRole(AriaRole.Link, new() { Name = "Bracken" }).ClickAsync();
        await Expect(phone.Page.GetByLabel("T13, first")).ToHaveValueAsync("312");
        await phone.SignalAsync(Signal.Good);
        await phone.Page.ReloadAsync();
        await phone.Page.GetByLabel("T13, first").FillAsync("313");
        await RecordAsync(phone);

        await phone.Page.ArriveAsync(url => url.Contains("/measurements/", StringComparison.Ordinal));
        Assert.Equal(313, Assert.Single(await yard.MeasurementsAsync())["widths"]!.AsArray()[2]!["widthMm"]!.GetValue<double>());
        Assert.Equal(0, await phone.DraftsAsync());
    }

    [Fact]
    public async Task Draft_isThrownAway_onceThatWasMeant()
    {
        var (yard, phone) = await StartAsync();
        await using var _ = phone;
        await phone.OpenAsync(yard.Form);
        await phone.Page.GetByLabel("T8, first").FillAsync("251");
        await phone.OpenAsync("/waiting");
        await phone.Page.TabToAsync("#drafts summary");
        await phone.Page.Keyboard.PressAsync("Enter");
        await phone.Page.EnterAsync("#drafts button");

        await Expect(phone.Page.GetByText("Nothing waits to be sent.")).ToBeVisibleAsync();
        Assert.Equal(0, await phone.DraftsAsync());
    }

    [Fact]
    public async Task Phone_keepsNoSecret()
    {
        var (yard, phone) = await StartAsync();
        await using var _ = phone;
        await phone.OpenAsync(yard.Form);
        var token = await phone.Page.Locator("form[data-horse] [name=__RequestVerificationToken]").GetAttributeAsync("value");
        await phone.Page.GetByLabel("T8, first").FillAsync("251");

        var kept = await phone.KeptAsync();

        Assert.Contains("Measure Bracken", kept, StringComparison.Ordinal);
        Assert.Equal(1, await phone.DraftsAsync());
        Assert.DoesNotContain(token![..20], kept, StringComparison.Ordinal);
        Assert.DoesNotContain("bt_", kept, StringComparison.Ordinal);
    }

    private async Task<(MeasuringYard Yard, Phone Phone)> StartAsync()
    {
        var phone = await secure.PhoneAsync();
        var yard = await MeasuringYard.MakeAsync(secure.Api);
        await phone.SignInAsync(await yard.ManagersKeyAsync(), yard.Form);
        return (yard, phone);
    }

    private static async Task RecordWithoutSignalAsync(MeasuringYard yard, Phone phone, string t13 = "312")
    {
        await phone.SignalAsync(Signal.None);
        await phone.OpenAsync(yard.Form);
        await FillAsync(phone.Page);
        await phone.Page.GetByLabel("T13, first").FillAsync(t13);
        await RecordAsync(phone);
        await Expect(Line(phone, "Bracken")).ToContainTextAsync("Waiting");
    }

    private static Task RecordAsync(Phone phone) => phone.Page.GetByRole(AriaRole.Button, new() { Name = "Record" }).ClickAsync();

    private static ILocator Line(Phone phone, string horse) => phone.Page.Locator("#drafts li").Filter(new() { HasText = horse });

    private static async Task FillAsync(IPage page)
    {
        foreach (var (field, width) in Widths)
            await page.GetByLabel(field).FillAsync(width);
    }

    private static string Text(JsonNode node, string member) => node[member]!.GetValue<string>();
}
