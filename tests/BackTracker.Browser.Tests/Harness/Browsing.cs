using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Demo;
using Microsoft.Playwright;

namespace BackTracker.Browser.Tests.Harness;

/// <summary>A real Chromium, and the demo yard served to it.</summary>
public sealed class Browsing : IAsyncLifetime
{
    // Nothing of the browser's own is to leave the machine.
    internal static readonly string[] Quiet =
    [
        "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync",
    ];

    private IPlaywright? _playwright;
    private IBrowser? _browser;
    private IReadOnlyList<Cookie> _cookies = [];

    public FilledDemo Demo { get; } = new();

    public async ValueTask InitializeAsync()
    {
        if (Environment.GetEnvironmentVariable("BACKTRACKER_TEST_CHROMIUM") is not { Length: > 0 } chromium)
            return;
        await Demo.InitializeAsync();
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(new() { ExecutablePath = chromium, Args = Quiet });
    }

    /// <summary>A window of its own, nobody signed in.</summary>
    public Task<Window> OpenAsync(Look look = Look.Phone, bool script = true) => OpenAsync(Demo.Address, look, script);

    /// <summary>The same at another service than the demo's.</summary>
    public async Task<Window> OpenAsync(string address, Look look, bool script)
    {
        Assert.SkipWhen(_browser is null, "No Chromium: scripts/with-chromium installs one where it can and names it in BACKTRACKER_TEST_CHROMIUM.");
        var context = await _browser.NewContextAsync(new()
        {
            BaseURL = address,
            JavaScriptEnabled = script,
            ViewportSize = look == Look.Desk ? new() { Width = 1280, Height = 900 } : new() { Width = 360, Height = 740 },
            HasTouch = look is Look.Phone or Look.DarkPhone,
            ColorScheme = look == Look.DarkPhone ? ColorScheme.Dark : ColorScheme.Light,
            Locale = "en-GB",
            TimezoneId = "Europe/London",
        });
        context.SetDefaultTimeout(15_000);
        return new Window(context, await context.NewPageAsync(), address);
    }

    /// <summary>A window in which the administrator of the demo is signed in.</summary>
    public async Task<Window> SignedInAsync(Look look = Look.Phone, bool script = true)
    {
        var window = await OpenAsync(look, script);
        if (_cookies.Count == 0)
            await SignInAsync(window);
        else
            await window.Page.Context.AddCookiesAsync(_cookies);
        return window;
    }

    // Once for all: signing in has tests of its own.
    private async Task SignInAsync(Window window)
    {
        await window.SignInAsync(Demo.Secret);
        _cookies = [.. (await window.Page.Context.CookiesAsync()).Select(kept => new Cookie
        {
            Name = kept.Name,
            Value = kept.Value,
            Domain = kept.Domain,
            Path = kept.Path,
            Expires = kept.Expires,
            HttpOnly = kept.HttpOnly,
            Secure = kept.Secure,
            SameSite = kept.SameSite,
        })];
    }

    /// <summary>The yard of the demo.</summary>
    internal async Task<string> YardIdAsync() => (await Demo.Api.GetAsync("/v1/yards")).Items[0]!["id"]!.GetValue<string>();

    /// <summary>A horse of the demo.</summary>
    internal async Task<string> HorseIdAsync(string name) => (await Demo.Api.GetAsync("/v1/horses?limit=100")).Items.Single(horse => horse!["name"]!.GetValue<string>() == name)!["id"]!.GetValue<string>();

    /// <summary>The first saddle of a horse of the demo.</summary>
    internal async Task<string> PairingIdAsync(string horse) => (await Demo.Api.GetAsync($"/v1/pairings?horseId={await HorseIdAsync(horse)}")).Items[0]!["id"]!.GetValue<string>();

    /// <summary>The last measurement of a horse of the demo of which something was to be taken again.</summary>
    internal async Task<string> AdvisedAsync(string horse) => (await Demo.Api.GetAsync($"/v1/horses/{await HorseIdAsync(horse)}/measurements?limit=500")).Items
        .Last(measured => measured!["advice"]!.AsArray().Count > 0)!["id"]!.GetValue<string>();

    /// <summary>A check of a saddle of the demo that waits for nobody but a fitter and was not put off; one that was booked is taken back.</summary>
    internal async Task<JsonNode> OpenCheckAsync()
    {
        var signs = (await Demo.Api.GetAsync("/v1/observations?open=true&limit=500")).Items.Select(seen => seen!["horseId"]!.GetValue<string>()).ToHashSet();
        var alive = (await Demo.Api.GetAsync("/v1/checks?state=open&limit=500")).Items.Concat((await Demo.Api.GetAsync("/v1/checks?state=booked&limit=500")).Items);
        var check = alive.First(c => c!["pairingId"] is not null && c["postponedUntil"] is null && !signs.Contains(c["horseId"]!.GetValue<string>()))!;
        var now = await Demo.Api.GetAsync($"/v1/checks/{check["id"]}");
        if (now["state"]!.GetValue<string>() == "booked")
            await Demo.Api.PostAsync($"/v1/checks/{check["id"]}/unbook", new { reason = "For a test." }, ("If-Match", now.Etag));
        return check;
    }

    /// <summary>A planned visit of the demo.</summary>
    internal async Task<string> VisitAsync()
    {
        if ((await Demo.Api.GetAsync("/v1/visits?state=planned")).Items is [{ } planned, ..])
            return planned["id"]!.GetValue<string>();
        var check = await OpenCheckAsync();
        var yardId = check["yardId"]!.GetValue<string>();
        var fitterId = (await Demo.Api.GetAsync($"/v1/people?yardId={yardId}&role=fitter")).Items[0]!["id"]!.GetValue<string>();
        for (var on = FilledDemo.Today.AddDays(14); ; on = on.AddDays(1))
        {
            var made = await Demo.Api.PostAsync("/v1/visits", new { yardId, fitterId, on = on.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture), checkIds = new[] { check["id"]!.GetValue<string>() } });
            if (made.Status == System.Net.HttpStatusCode.Created)
                return made["id"]!.GetValue<string>();
            Assert.True(on < FilledDemo.Today.AddDays(28), made.Text);
        }
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is null)
            return;
        await _browser.DisposeAsync();
        _playwright!.Dispose();
        await Demo.DisposeAsync();
    }
}

/// <summary>What is looked at with what.</summary>
public enum Look
{
    /// <summary>360 px wide, light.</summary>
    Phone,

    /// <summary>360 px wide, dark.</summary>
    DarkPhone,

    /// <summary>1280 px wide, light.</summary>
    Desk,
}

/// <summary>Starting takes its time: all tests share one browser and one demo.</summary>
[CollectionDefinition(Name)]
public sealed class Pages : ICollectionFixture<Browsing>
{
    public const string Name = "pages";
}
