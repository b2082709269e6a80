using System.Globalization;
using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;

namespace BackTracker.Browser.Tests.Harness;

/// <summary>One window of the browser, watched for everything that must never happen.</summary>
public sealed class Window : IAsyncDisposable
{
    private readonly IBrowserContext _context;
    private readonly List<string> _wrong = [];

    internal Window(IBrowserContext context, IPage page, string address)
    {
        (_context, Page) = (context, page);
        page.Console += (_, message) => _wrong.AddRange(message.Type == "error" && !IsRefusal(message) ? [$"console: {message.Text}"] : Array.Empty<string>());
        page.PageError += (_, error) => _wrong.Add($"script: {error}");
        page.Request += (_, request) => _wrong.AddRange(
            request.Url.StartsWith(address, StringComparison.Ordinal) || request.Url.StartsWith("data:", StringComparison.Ordinal) ? Array.Empty<string>() : [$"asked {request.Url}"]);
    }

    public IPage Page { get; }

    public async Task SignInAsync(string secret)
    {
        await Page.GotoAsync("/sign-in");
        await Page.GetByLabel("Your key").FillAsync(secret);
        await Page.GetByRole(AriaRole.Button, new() { Name = "Sign in" }).ClickAsync();
        await Page.ArriveAsync(url => !url.Contains("/sign-in", StringComparison.Ordinal));
    }

    /// <summary>Goes to an address and holds that page to what holds for every page.</summary>
    public async Task<IResponse> GoAsync(string address)
    {
        var response = (await Page.GotoAsync(address))!;
        Assert.True(response.Status == 200, $"{address}: {response.Status}");
        return response;
    }

    /// <summary>
    /// Nothing sticks out sideways, nothing was refused by the content security policy or asked of another host, a heading leads,
    /// and axe finds nothing (WCAG 2.0 to 2.2 A and AA, and best practices).
    /// </summary>
    public async Task AssertGoodAsync(string what)
    {
        Assert.True(_wrong.Count == 0, $"{what}: {string.Join("\n", _wrong)}");
        var tooWide = await Page.EvaluateAsync<string>(
            "() => { const w = document.documentElement.clientWidth; return document.documentElement.scrollWidth <= w ? '' : [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > w + 1).slice(0, 5).map(e => e.outerHTML.slice(0, 120)).join('\\n'); }");
        Assert.True(tooWide.Length == 0, $"{what} is wider than the window: {tooWide}");
        Assert.Equal(1, await Page.Locator("h1").CountAsync());
        await AssertAxeAsync(what, new());
    }

    /// <summary>By night nothing changes but the colours: every text stays legible.</summary>
    public async Task AssertGoodByNightAsync(string what)
    {
        await Page.EmulateMediaAsync(new() { ColorScheme = ColorScheme.Dark });
        await AssertAxeAsync($"{what} by night", new() { RunOnly = RunOnlyOptions.Rules("color-contrast") });
    }

    private async Task AssertAxeAsync(string what, AxeRunOptions options)
    {
#pragma warning disable CS0618 // The other way opens a second page for every run, to put frames together that these pages do not have, and now and then waits for it in vain.
        var found = await Page.RunAxeLegacy(options: options);
#pragma warning restore CS0618
        Assert.True(found.Violations.Length == 0, string.Join("\n", found.Violations.Select(v =>
            $"{what}: {v.Id}: {v.Help}: {string.Join(" | ", v.Nodes.Take(3).Select(node => node.Html))}")));
    }

    /// <summary>Keeps a picture of the whole page among the results of the tests, where BACKTRACKER_KEEP_PAGES asks for them.</summary>
    public async Task KeepAsync(string name)
    {
        if (string.IsNullOrEmpty(Environment.GetEnvironmentVariable("BACKTRACKER_KEEP_PAGES")))
            return;
        var folder = Path.Combine(AppContext.BaseDirectory, "../../../test-results/pages");
        Directory.CreateDirectory(folder);
        await Page.ScreenshotAsync(new() { FullPage = true, Path = Path.Combine(folder, string.Create(CultureInfo.InvariantCulture, $"{name}.png")) });
    }

    // The browser notes the status of a form that was not taken, and what it could not reach without a network; the page says it.
    private static bool IsRefusal(IConsoleMessage message) =>
        message.Text.Contains("status of 422", StringComparison.Ordinal) || message.Text.Contains("net::ERR_INTERNET_DISCONNECTED", StringComparison.Ordinal);

    public async ValueTask DisposeAsync() => await _context.DisposeAsync();
}
