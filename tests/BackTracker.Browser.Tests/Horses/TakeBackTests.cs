using BackTracker.Browser.Tests.Harness;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Browser.Tests.Horses;

/// <summary>What was entered by mistake is taken back from the history, by keyboard alone on a phone's width; it stays on record and does not count.</summary>
[Collection(Pages.Name)]
public sealed class TakeBackTests(Browsing browsing)
{
    private ApiClient Api => browsing.Demo.Api;

    [Theory]
    [InlineData("events", true)]
    [InlineData("events", false)]
    [InlineData("phases", true)]
    [InlineData("observations", false)]
    public async Task ARecord_isTakenBack_onceItIsSaidWhy(string records, bool script)
    {
        var yard = await Api.MakeAsync("/v1/yards", new { name = "Far Point", timeZone = "Pacific/Honolulu" });
        var horse = await Api.MakeAsync("/v1/horses", new { yardId = yard, name = "Whimbrel" });
        var id = await Api.MakeAsync($"/v1/horses/{horse}/{records}", BodyOf(records));
        await using var window = await browsing.SignedInAsync(script: script);
        var page = window.Page;
        await window.GoAsync($"/horses/{horse}");
        if (records == "observations")
        {
            await page.EnterAsync($"section[aria-labelledby=history] a[href='/observations/{id}']");
            await page.ArriveAsync($"/observations/{id}");
        }
        await page.EnterAsync($"a[href='/{records}/{id}/void']");
        await page.ArriveAsync($"/{records}/{id}/void");

        await page.TypeIntoAsync("#f-reason", " ");
        await page.SendAsync("form.narrow > button");
        await page.Locator("#f-reason[aria-invalid=true]").WaitForAsync();
        await page.TypeIntoAsync("#f-reason", "It was another horse.");
        await page.SendAsync("form.narrow > button");

        Assert.Equal("It was another horse.", (await Api.GetAsync($"/v1/{records}/{id}"))["voidReason"]!.GetValue<string>());
        // 09:00 UTC on the 25th is the evening of the 24th in this yard.
        Assert.Contains("Voided on 24 November 2026, does not count: It was another horse.", await page.Locator("section[aria-labelledby=history]").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal(0, await page.Locator($"a[href='/{records}/{id}/void']").CountAsync());
    }

    private static object BodyOf(string records) => records switch
    {
        "events" => new { on = "2026-11-01", kind = "illness" },
        "phases" => new { from = "2026-11-01", phase = "building" },
        _ => new { observedOn = "2026-11-01", kind = "heat" },
    };
}
