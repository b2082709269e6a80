using Microsoft.Playwright;

namespace BackTracker.Browser.Tests.Harness;

/// <summary>Filling a form as somebody does who has no mouse.</summary>
internal static class Keyboard
{
    private const int MostStops = 150;

    /// <summary>Goes on with Tab until what a selector names has the focus.</summary>
    public static async Task TabToAsync(this IPage page, string selector)
    {
        for (var stop = 0; stop < MostStops; stop++)
        {
            if (await page.EvaluateAsync<bool>("selector => document.activeElement.matches(selector)", selector))
                return;
            await page.Keyboard.PressAsync("Tab");
        }
        Assert.Fail($"Tab never comes to {selector}.");
    }

    /// <summary>Types into a field that Tab comes to.</summary>
    public static async Task TypeIntoAsync(this IPage page, string selector, string text)
    {
        await page.TabToAsync(selector);
        await page.Keyboard.PressAsync("ControlOrMeta+A");
        await page.Keyboard.TypeAsync(text);
    }

    /// <summary>Changes the year of a day that Tab comes to; it is the last part in every order of day and month.</summary>
    public static async Task TurnYearAsync(this IPage page, string selector, string arrow)
    {
        await page.TabToAsync(selector);
        await page.Keyboard.PressAsync("Tab");
        await page.Keyboard.PressAsync("Tab");
        await page.Keyboard.PressAsync(arrow);
    }

    /// <summary>Presses Enter on what Tab comes to.</summary>
    public static async Task EnterAsync(this IPage page, string selector)
    {
        await page.TabToAsync(selector);
        await page.Keyboard.PressAsync("Enter");
    }

    /// <summary>Sends the form of a button and waits for the page that answers.</summary>
    public static async Task SendAsync(this IPage page, string button)
    {
        await page.TabToAsync(button);
        var loaded = new TaskCompletionSource();
        void Loaded(object? sender, IPage shown) => loaded.TrySetResult();
        page.Load += Loaded;
        await page.Keyboard.PressAsync("Enter");
        await loaded.Task.WaitAsync(TimeSpan.FromSeconds(30));
        page.Load -= Loaded;
    }
}
