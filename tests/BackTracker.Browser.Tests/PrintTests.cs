using BackTracker.Browser.Tests.Harness;
using BackTracker.Service.Tests.Demo;
using Microsoft.Playwright;

namespace BackTracker.Browser.Tests;

/// <summary>Pages on paper.</summary>
[Collection(Pages.Name)]
public sealed class PrintTests(Browsing browsing)
{
    [Fact]
    public async Task VisitSheet_printed_leavesOutWhatIsForTheScreen_andHasRoomForFindings()
    {
        await using var window = await browsing.SignedInAsync(Look.Desk);
        await window.GoAsync($"/yards/{await browsing.YardIdAsync()}/visit-sheet?on={FilledDemo.Today.AddDays(120):yyyy-MM-dd}");
        var (choice, room) = (window.Page.GetByLabel("Day"), window.Page.GetByText("Found and changed:"));
        Assert.True(await choice.IsVisibleAsync());
        Assert.False(await room.First.IsVisibleAsync());

        await window.Page.EmulateMediaAsync(new() { Media = Media.Print });

        Assert.False(await choice.IsVisibleAsync());
        Assert.False(await window.Page.GetByText("Print as PDF").IsVisibleAsync());
        Assert.False(await window.Page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).IsVisibleAsync());
        Assert.True(await room.First.IsVisibleAsync());
        Assert.True(await window.Page.GetByRole(AriaRole.Heading, new() { Name = "To bring" }).IsVisibleAsync());
    }
}
