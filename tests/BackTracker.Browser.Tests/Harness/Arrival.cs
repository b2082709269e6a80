using BackTracker.Service.Tests.Harness;
using Microsoft.Playwright;

namespace BackTracker.Browser.Tests.Harness;

/// <summary>
/// Waiting for a page to come. The library's own wait looks at the address and then waits for the next one, and waits in vain where the page came
/// between the two; this one looks again.
/// </summary>
internal static class Arrival
{
    /// <summary>Waits until a page whose address ends so has been loaded.</summary>
    public static Task ArriveAsync(this IPage page, string ending) => page.ArriveAsync(url => url.EndsWith(ending, StringComparison.Ordinal));

    /// <summary>Waits until a page with such an address has been loaded.</summary>
    public static Task ArriveAsync(this IPage page, Func<string, bool> isThere) =>
        Eventually.TrueAsync(async () => isThere(page.Url) && await IsLoadedAsync(page), () => $"The window is still at {page.Url}.");

    private static async Task<bool> IsLoadedAsync(IPage page)
    {
        try
        {
            return await page.EvaluateAsync<string>("() => document.readyState") == "complete";
        }
        catch (PlaywrightException exception) when (exception.Message.Contains("context was destroyed", StringComparison.Ordinal))
        {
            return false;
        }
    }
}
