using System.Text.Json.Nodes;
using BackTracker.Browser.Tests.Harness;

namespace BackTracker.Browser.Tests;

/// <summary>A saddle made to measure followed from its page, with the keyboard alone on a phone's width, with and without script; read back over the API.</summary>
[Collection(Pages.Name)]
public sealed class CommissionPageTests(Browsing browsing)
{
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Stage_andTrial_areTakenFromThePage_andTheWorkListIsShown(bool script)
    {
        var id = await DemoCommission.OnTrialAsync(browsing, "Sedge");
        await using var window = await browsing.SignedInAsync(script: script);
        var page = window.Page;
        await window.GoAsync($"/commissions/{id}");

        Assert.Contains("Trial 1 of the bare tree", await page.InnerTextAsync("main"), StringComparison.Ordinal);
        foreach (var item in new[] { 0, 1, 2, 4, 5 })
            await page.SelectOptionAsync($"[name='/items/{item}/verdict']", "pass");
        await page.SelectOptionAsync("[name='/items/3/verdict']", "alter");
        await page.ClickAsync("fieldset:has([name='/items/3/verdict']) summary");
        await page.FillAsync("[name='/items/3/mm']", "4");
        await page.SelectOptionAsync("[name='/items/3/side']", "left");
        await page.SelectOptionAsync("[name='/items/3/zone']", "rear");
        await page.SendAsync("form[action$='/trials'] button");

        Assert.Contains("Contact, left, rear, 4 mm, to be altered", await page.InnerTextAsync("main"), StringComparison.Ordinal);
        var trial = (await browsing.Demo.Api.GetAsync($"/v1/commissions/{id}/trial")).Body!;
        Assert.Equal("open", Text(trial["verdict"]));
        var work = Assert.Single(trial["workList"]!.AsArray());
        Assert.Equal(("contact", "left", "rear", 4.0), (Text(work!["item"]), Text(work["side"]), Text(work["zone"]), work["mm"]!.GetValue<double>()));
    }

    [Fact]
    public async Task Stage_passedBeforeTheTrialIs_isRefusedInWords()
    {
        var id = await DemoCommission.OnTrialAsync(browsing, "Sedge");
        await using var window = await browsing.SignedInAsync(script: false);
        var page = window.Page;
        await window.GoAsync($"/commissions/{id}");
        await page.EnterAsync("details:has(form[action$='/stages']) > summary");
        await page.SelectOptionAsync("form[action$='/stages'] [name='/stage']", "passed");
        await page.SendAsync("form[action$='/stages'] button");

        Assert.Contains("The trial is not passed", await page.Locator("[role=alert]").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal("tree-trial", Text((await browsing.Demo.Api.GetAsync($"/v1/commissions/{id}"))["stage"]));
    }

    private static string Text(JsonNode? node) => node!.GetValue<string>();
}
