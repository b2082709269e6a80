using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Browser.Tests.Harness;
using Microsoft.Playwright;

namespace BackTracker.Browser.Tests;

/// <summary>
/// A saddle made to measure for a horse that widens while it is made, from the order to the day it is bedded in, all of it from the pages, on a
/// phone's width without script. The back is measured over the API: its form has tests of its own.
/// </summary>
[Collection(Pages.Name)]
public sealed class CommissionStoryTests(Browsing browsing)
{
    private static readonly string[] Cut = ["measured", "template-sent", "tree-cut"];

    [Fact]
    public async Task Saddle_orderedInMarch_isWarnedOfInMay_altered_opened_again_deliveredAndSettled()
    {
        Assert.SkipWhen(Environment.GetEnvironmentVariable("BACKTRACKER_TEST_CHROMIUM") is not { Length: > 0 }, "No Chromium.");
        await using var yard = await LivedYard.BeginAsync("2026-01-05T09:00:00Z");
        var horse = await HorseAsync(yard);
        await MeasuredAsync(yard, horse, 4, 300, 0);
        await using var window = await browsing.OpenAsync(yard.Address, Look.Phone, script: false);
        var page = window.Page;

        // March: ordered from the horse's page, to the width of then.
        await window.SignInAsync(yard.Secret);
        await window.GoAsync($"/horses/{horse}");
        await page.GetByRole(AriaRole.Link, new() { Name = "Have a saddle made" }).ClickAsync();
        await page.SelectOptionAsync("[name='/saddleId']", new SelectOptionValue { Label = "Bramble's new saddle" });
        await page.SelectOptionAsync("[name='/saddlerId']", new SelectOptionValue { Label = "Tamsin Rowe" });
        await page.FillAsync("[name='/deliveryOn']", Day(yard.Today.AddDays(-1)));
        await page.FillAsync("[name='/orderedTree/stations/1/width150Mm']", "302");
        await page.FillAsync("[name='/orderedTree/panel/thicknessMm']", "25");
        await page.SendAsync("form[action$='/commission'] button");
        Assert.Equal("It cannot come home before it was ordered.", await page.Locator("#f-deliveryOn-error").InnerTextAsync());
        await page.FillAsync("[name='/deliveryOn']", Day(yard.Today.AddDays(140)));
        await page.SendAsync("form[action$='/commission'] button");
        var path = new Uri(page.Url).AbsolutePath;
        Assert.StartsWith("/commissions/", path, StringComparison.Ordinal);
        await StageAsync(window, path, "measured");
        await StageAsync(window, path, "template-sent");
        Assert.Contains("with the saddler", await TextAsync(page), StringComparison.Ordinal);

        // May: the horse has put on muscle; three weeks later nobody has measured it again.
        await MeasuredAsync(yard, horse, 5, 304.5, 4.5);
        await yard.PassAsync(21);
        await window.SignInAsync(yard.Secret);
        await window.GoAsync(path);
        await window.KeepAsync("commission-warned-Phone");
        Assert.Matches("the tree fits with [0-9]+ %: measure again before the tree is cut", await TextAsync(page));
        Assert.Contains("What fits longest: open each side by", await TextAsync(page), StringComparison.Ordinal);
        await window.GoAsync($"/horses/{horse}");
        await page.Locator("a[href^='/checks/']").First.ClickAsync();
        Assert.Contains("Bramble's new saddle is being made.", await TextAsync(page), StringComparison.Ordinal);
        Assert.Contains("Measure again", await page.Locator("h1").InnerTextAsync(), StringComparison.OrdinalIgnoreCase);
        await window.GoAsync($"/yards/{(await yard.Api.GetAsync("/v1/yards")).Items[0]!["id"]}");
        Assert.Contains("Bramble's new saddle is being made and will hardly fit", await TextAsync(page), StringComparison.Ordinal);

        // Measured again, the template reissued, and the tree cut wider.
        await MeasuredAsync(yard, horse, 1, 327, 0);
        await window.SignInAsync(yard.Secret);
        foreach (var stage in Cut)
            await StageAsync(window, path, stage);
        await page.ClickAsync("details:has(form[action$='/tree']) > summary");
        await page.FillAsync("[name='/stations/1/width150Mm']", "332");
        await page.SendAsync("form[action$='/tree'] button");
        Assert.Contains("Against the order:", await TextAsync(page), StringComparison.Ordinal);
        Assert.Contains("The tree that came, as it was measured", await TextAsync(page), StringComparison.Ordinal);
        await yard.AssessAsync();
        Assert.Equal("settled", (await yard.Api.GetAsync($"/v1/alerts?horseId={horse}&limit=500")).Items.Single(alert => Text(alert!["concern"]) == "commission")!["state"]!.GetValue<string>());

        // The first trial finds something to alter, the second nothing until the day after it was passed, the third nothing at all.
        await StageAsync(window, path, "tree-trial");
        await TryAsync(page, contact: "alter");
        Assert.Contains("Contact, left, rear, 4 mm, to be altered", await TextAsync(page), StringComparison.Ordinal);
        await StageAsync(window, path, "altered");
        await StageAsync(window, path, "tree-trial");
        await TryAsync(page, contact: "pass");
        await StageAsync(window, path, "passed");
        await FindAfterwardsAsync(page);
        Assert.Contains("The back was sore after the trial, so the trial is open again", await TextAsync(page), StringComparison.Ordinal);
        Assert.Equal("tree-trial", await StandsAsync(yard, path));
        await StageAsync(window, path, "altered");
        await StageAsync(window, path, "tree-trial");
        await TryAsync(page, contact: "pass");
        foreach (var stage in new[] { "passed", "finished", "delivered" })
            await StageAsync(window, path, stage);

        // Looked at three times, and settled by the rule.
        foreach (var (hours, room, stage) in new[] { ("0", "30", "bedding-in"), ("10", "27", "bedding-in"), ("20", "26.4", "settled") })
        {
            await LookAsync(page, hours, room);
            Assert.Equal(stage, await StandsAsync(yard, path));
        }
        await window.KeepAsync("commission-settled-Phone");
        Assert.Contains("Bedded in after 20 ridden hours.", await TextAsync(page), StringComparison.Ordinal);
        Assert.Equal(0, await page.Locator("form[action$='/bedding-in']").CountAsync());
    }

    private static async Task<string> HorseAsync(LivedYard yard)
    {
        var yardId = await yard.Api.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        await yard.Api.MakeAsync("/v1/people", new { name = "Ada Finch", role = "yard-manager", yardIds = new[] { yardId } });
        await yard.Api.MakeAsync("/v1/people", new { name = "Tamsin Rowe", role = "saddler", yardIds = new[] { yardId } });
        await yard.Api.MakeAsync("/v1/saddles", new { yardId, label = "Bramble's new saddle", tree = "rigid", filling = "wool" });
        return await yard.Api.MakeAsync("/v1/horses", new { yardId, name = "Bramble", bornOn = "2014-05-01" });
    }

    /// <summary>Measured so many times a fortnight apart, wider each time by as much.</summary>
    private static async Task MeasuredAsync(LivedYard yard, string horse, int times, double widthMm, double byMm)
    {
        for (var i = 0; i < times; i++)
        {
            await yard.PassAsync(times > 1 ? 14 : 0);
            await yard.Api.MakeAsync($"/v1/horses/{horse}/measurements", new
            {
                measuredAt = $"{Day(yard.Today)}T08:30:00Z",
                measuredBy = (await yard.Api.GetAsync("/v1/people?role=yard-manager")).Items[0]!["id"]!.GetValue<string>(),
                method = "calliper",
                exercise = "before",
                widths = new[] { new { station = "T13", depthMm = 150, widthMm = widthMm + (byMm * i) } },
            });
            await yard.AssessAsync();
        }
    }

    private static async Task StageAsync(Window window, string path, string stage)
    {
        var page = window.Page;
        await window.GoAsync(path);
        await page.ClickAsync("details:has(form[action$='/stages']) > summary");
        await page.SelectOptionAsync("form[action$='/stages'] [name='/stage']", stage);
        if (stage == "measured")
            await page.SelectOptionAsync("form[action$='/stages'] [name='/measurementId']", new SelectOptionValue { Index = 1 });
        await page.SendAsync("form[action$='/stages'] button");
        Assert.Equal(0, await page.Locator("[role=alert].fault").CountAsync());
    }

    /// <summary>A whole trial in which every item is as it should be but perhaps the contact.</summary>
    private static async Task TryAsync(IPage page, string contact)
    {
        for (var step = 0; step < 6; step++)
        {
            var verdicts = page.Locator("form[action$='/trials'] select[name$='/verdict']");
            for (var i = 0; i < await verdicts.CountAsync(); i++)
                await verdicts.Nth(i).SelectOptionAsync(step == 0 && i == 3 ? contact : "pass");
            if (step == 0 && contact == "alter")
                await WhereAsync(page);
            if (await page.Locator("[name='/bearsLoad/text']").CountAsync() > 0)
                await page.FillAsync("[name='/bearsLoad/text']", "Straps and bars of this tree carry a rider.");
            await page.SendAsync("form[action$='/trials'] button");
            Assert.Equal(0, await page.Locator("[role=alert].fault").CountAsync());
        }
    }

    private static async Task WhereAsync(IPage page)
    {
        await page.ClickAsync("fieldset:has([name='/items/3/verdict']) summary");
        await page.FillAsync("[name='/items/3/mm']", "4");
        await page.SelectOptionAsync("[name='/items/3/side']", "left");
        await page.SelectOptionAsync("[name='/items/3/zone']", "rear");
    }

    private static async Task FindAfterwardsAsync(IPage page)
    {
        await page.ClickAsync("details:has(form[action$='/trials']) > summary");
        await page.SelectOptionAsync("[name='/items/2/verdict']", "fail");
        await page.SendAsync("form[action$='/trials'] button");
    }

    private static async Task LookAsync(IPage page, string hours, string roomMm)
    {
        await page.ClickAsync("details:has(form[action$='/bedding-in']) > summary");
        await page.FillAsync("[name='/riddenHours']", hours);
        await page.FillAsync("[name='/clearanceMm']", roomMm);
        await page.SelectOptionAsync("form[action$='/bedding-in'] [name='/verdict']", "pass");
        await page.SendAsync("form[action$='/bedding-in'] button");
    }

    private static async Task<string> StandsAsync(LivedYard yard, string path) => Text((await yard.Api.GetAsync($"/v1{path}"))["stage"]);

    private static Task<string> TextAsync(IPage page) => page.InnerTextAsync("main");

    private static string Text(JsonNode? node) => node!.GetValue<string>();

    private static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
