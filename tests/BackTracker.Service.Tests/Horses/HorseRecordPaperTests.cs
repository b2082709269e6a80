using System.Net;
using BackTracker.Service.Tests.Harness;
using UglyToad.PdfPig;
using static BackTracker.Service.Tests.Harness.ReadPaper;

namespace BackTracker.Service.Tests.Horses;

/// <summary>The record of a horse on paper, read back.</summary>
public sealed class HorseRecordPaperTests
{
    private const double MarginPt = 34;

    [Fact]
    public async Task Record_holdsAllThatIsKnownOfAHorse()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(5, i => new() { WiderMm = 3 * i });
        var note = $"{string.Join(' ', Enumerable.Repeat("The rider felt it on the left rein.", 50))} So far.";
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = yard.TodayText, kind = "rub", station = "T13", side = "left", severity = "mild", note });
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/events", new { on = yard.TodayText, kind = "other", note = "Hill work with Žofie." });
        await service.Admin.MakeAsync($"/v1/saddles/{yard.SaddleId}/adjustments", new { doneOn = yard.TodayText, doneBy = yard.FitterId, kind = "flocking", zones = new[] { new { side = "left", zone = "front", mm = 3 } } });
        await service.SettledAsync();

        using var pdf = PdfDocument.Open(await GetAsync(service, $"/v1/horses/{yard.HorseId}/record.pdf"));
        var text = Text(pdf);

        InOrder(text, "Record of Sorrel", "Larkfield", "Sorrel.", "12 years.", "Born on 1 May 2014.", "Steady", "To do", "Keep in mind", "Saddles, and how they fit today", "Sorrel's saddle", "In use since 25 November 2026.",
            "How the back moves", "Width at T8, 30 mm down", "What was seen", "Rub, left side, at T13, mild", "Measurements that count", "25 Nov 2026 Isla Brook, flexible curve,", "T8 100/283, T13 127/318,", "What was altered", "Flocking changed", "left front +3 mm",
            "Events", "Hill work with Žofie.", "Phases", "Steady begins");
        Assert.DoesNotContain("Events, continued", text, StringComparison.Ordinal);
        Assert.Contains("± ", text, StringComparison.Ordinal);
        Assert.Equal(50, Unbroken(text).Split("The rider felt it on the left rein.").Length - 1);
        Assert.Contains("So far.", text, StringComparison.Ordinal);
        StaysWithin(pdf, MarginPt);
        Assert.True(pdf.GetPages().Max(page => page.Paths.Count) > 40, "The trend is not drawn.");
    }

    [Fact]
    public async Task Record_ofYears_takesNumberedPages_andSaysWhatGoesOn()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        for (var i = 0; i < 120; i++)
            await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = TracedYard.Text(yard.Today.AddDays(-i)), kind = "rub", note = $"Note no. {i}." });

        using var pdf = PdfDocument.Open(await GetAsync(service, $"/v1/horses/{yard.HorseId}/record.pdf"));

        Assert.InRange(pdf.NumberOfPages, 4, 12);
        Assert.All(pdf.GetPages(), page => Assert.Contains($"Page {page.Number} of {pdf.NumberOfPages}", Text(page), StringComparison.Ordinal));
        Assert.Contains("What was seen, continued", Text(pdf), StringComparison.Ordinal);
        InOrder(Text(pdf), [.. Enumerable.Range(0, 120).Select(i => $"Note no. {i}.")]);
        StaysWithin(pdf, MarginPt);
    }

    [Fact]
    public async Task Record_ofAHorseOfWhichNothingIsKnown_saysSo()
    {
        await using var service = await RunningService.StartAsync();
        var yardId = await service.Admin.MakeAsync("/v1/yards", new { name = "Empty", timeZone = "UTC" });
        var horseId = await service.Admin.MakeAsync("/v1/horses", new { yardId, name = "Plover" });

        using var pdf = PdfDocument.Open(await GetAsync(service, $"/v1/horses/{horseId}/record.pdf"));

        InOrder(Text(pdf), "Record of Plover", "Saddles, and how they fit today", "None is recorded.");
        Assert.Equal(1, pdf.NumberOfPages);
        (await service.Admin.GetAsync($"/v1/horses/{yardId}/record.pdf")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
    }
}
