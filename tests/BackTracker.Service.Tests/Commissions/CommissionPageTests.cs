using System.Net;
using System.Text.RegularExpressions;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Commissions;

/// <summary>The page of a saddle made to measure, as a browser sends its forms.</summary>
public sealed partial class CommissionPageTests
{
    [Fact]
    public async Task Page_fromTheHorse_takesTheNextStage_andWhatIsFoundInATrial()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 60);
        await yard.CutAsync(await yard.Yard.MeasureAsync(318), 320);
        await yard.StageAsync("tree-trial");
        using var pages = await PageClient.SignedInAsync(service);
        var page = yard.Path["/v1".Length..];
        Assert.Contains($"href=\"{page}\"", (await pages.GetAsync($"/horses/{yard.Yard.HorseId}")).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);
        Assert.Contains("Will it fit", (await pages.GetAsync(page)).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);

        (string, string)[] found =
        [
            ("once", "0199f6c2-0000-7000-8000-0000000000ab"), ("/step", "standing"), ("/on", yard.Today), ("=/items/0/item", "place"), ("/items/0/verdict", ""),
            ("=/items/3/item", "contact"), ("/items/3/verdict", "alter"), ("/items/3/mm", "4"), ("/items/3/side", "left"), ("/items/3/zone", "rear"), ("/items/3/note", "A hollow."),
        ];
        (await pages.FillAsync(page, $"{page}/trials", found)).Should(HttpStatusCode.Found);
        (await pages.FillAsync(page, $"{page}/trials", found)).Should(HttpStatusCode.Found);
        Assert.Contains("Contact, left, rear, 4 mm, to be altered", (await pages.GetAsync(page)).Text, StringComparison.Ordinal);
        Assert.Single((await yard.Admin.GetAsync($"{yard.Path}/trials")).Items);

        var refused = (await pages.FillAsync(page, $"{page}/stages", [("once", "0199f6c2-0000-7000-8000-0000000000ac"), ("version", "*"), ("/stage", "passed"), ("/on", yard.Today), ("/note", "All well.")])).Should(HttpStatusCode.UnprocessableContent).Text;
        Assert.Contains("The trial is not passed.", refused, StringComparison.Ordinal);
        Assert.Contains("All well.", refused, StringComparison.Ordinal);
        (await pages.FillAsync(page, $"{page}/stages", [("once", "0199f6c2-0000-7000-8000-0000000000ad"), ("version", "*"), ("/stage", "altered"), ("/on", yard.Today)])).Should(HttpStatusCode.Found);
        Assert.Equal("altered", await yard.StandsAsync());
        Assert.Equal(21, Row().Count((await pages.GetAsync($"{page}/trial-sheet")).Should(HttpStatusCode.OK).Text));
    }

    [GeneratedRegex("<tr><td>")]
    private static partial Regex Row();
}
