using System.Net;
using BackTracker.Service.Tests.Harness;
using UglyToad.PdfPig;
using static BackTracker.Service.Tests.Harness.ReadPaper;

namespace BackTracker.Service.Tests.Commissions;

/// <summary>The sheet on which a trial is written, read back.</summary>
public sealed class TrialSheetPaperTests
{
    [Fact]
    public async Task Sheet_hasEveryItemOfTheTrial_withBoxesToTick_andItsStopRules()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 60);
        await yard.CutAsync(await yard.Yard.MeasureAsync(318), 320);
        var trial = (await yard.Admin.GetAsync($"{yard.Path}/trial")).Should(HttpStatusCode.OK).Body;

        using var pdf = PdfDocument.Open(await GetAsync(service, $"{yard.Path}/trial-sheet.pdf"));
        // The words of an item stand beside its boxes.
        var text = Unbroken(Text(pdf)).Replace("pass alter fail L R F M R ", "", StringComparison.Ordinal).Replace(" pass alter fail L R F M R", "", StringComparison.Ordinal);

        InOrder(text, "Trial of the bare tree: Bramble's new saddle", "On Bramble", "Trial 1", "Day", "Fitter", "Pad pressed together, mm", "Nobody mounts yet", "Stop rules", "Standing", "Girthed", "Mounted still", "Walk", "Trot", "After", "Notes");
        foreach (var caution in trial["cautions"]!.AsArray())
            Assert.Contains(CommissioningYard.Text(caution), text, StringComparison.Ordinal);
        var items = trial["steps"]!.AsArray().SelectMany(step => step!["items"]!.AsArray()).Select(item => CommissioningYard.Text(item!["text"])).ToList();
        Assert.Equal(21, items.Count);
        Assert.All(items, item => Assert.Contains(item, text, StringComparison.Ordinal));
        Assert.Equal(items.Count * 8, pdf.GetPages().Sum(page => page.Paths.Count(path => path.IsStroked && path.Count == 1 && path[0].IsDrawnAsRectangle)));
        StaysWithin(pdf, 34);
    }

    [Fact]
    public async Task Page_leadsToTheSheet()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 60);
        using var pages = await PageClient.SignedInAsync(service);
        var page = yard.Path["/v1".Length..];

        Assert.Contains($"href=\"{page}/trial-sheet.pdf\"", (await pages.GetAsync(page)).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);
        Assert.Contains($"href=\"/horses/{yard.Yard.HorseId}/template.pdf?on={yard.Day(60)}\"", (await pages.GetAsync(page)).Text, StringComparison.Ordinal);
        Assert.Contains("was never traced", (await pages.GetAsync($"/horses/{yard.Yard.HorseId}/template.pdf")).Should(HttpStatusCode.Conflict).Text, StringComparison.Ordinal);
        Assert.StartsWith("%PDF", (await pages.GetAsync($"{page}/trial-sheet.pdf")).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);
        Assert.StartsWith("%PDF", (await pages.GetAsync($"/horses/{yard.Yard.HorseId}/record.pdf")).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);
        Assert.Contains($"/horses/{yard.Yard.HorseId}/record.pdf", (await pages.GetAsync($"/horses/{yard.Yard.HorseId}")).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);
    }
}
