using System.Net.Http.Headers;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Visits;
using BackTracker.Service.Paper;
using BackTracker.Service.Tests.Harness;
using UglyToad.PdfPig;
using static BackTracker.Service.Tests.Harness.ReadPaper;

namespace BackTracker.Service.Tests.Visits;

/// <summary>The visit sheet on paper, read back.</summary>
public sealed class VisitSheetPaperTests
{
    private const double MarginPt = 34;

    [Fact]
    public async Task Pdf_ofTheService_saysWhatTheSheetSays()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(3, _ => new());
        await service.PassDaysAsync(28);
        await yard.MeasureAsync(new() { HollowMm = 8 });
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = yard.TodayText, kind = "swelling", station = "T13", side = "left", note = "Size of a coin." });
        await service.SettledAsync();
        using var http = new HttpClient { BaseAddress = new Uri(service.Address) };
        http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", service.AdminKey);

        using var answer = await http.GetAsync($"/v1/yards/{yard.YardId}/visit-sheet.pdf?fitterId={yard.FitterId}", TestContext.Current.CancellationToken);
        using var pdf = PdfDocument.Open(await answer.Content.ReadAsByteArrayAsync(TestContext.Current.CancellationToken));

        Assert.Equal("application/pdf", answer.Content.Headers.ContentType!.MediaType);
        Assert.Equal("inline; filename=\"visit-sheet-2026-12-23.pdf\"", answer.Content.Headers.ContentDisposition!.ToString());
        InOrder(Text(pdf), "Visit to Larkfield", "23 December 2026", "Fitter: Morwen Hale");
        InOrder(Text(pdf), "To bring", "Keep in mind", "Stop using the saddle until a vet has looked", "Sorrel", "Stop, vet first.", "Swelling at T13 on the left",
            "Sorrel's saddle", "Adjustable tree, wool.", "To do", "What moved", "Findings", "Bring", "Nothing unequal before the vet", "Found", "Changed", "Next visit");
        Assert.DoesNotMatch(@"\n(%|mm\b)", Text(pdf));
        Assert.Contains("±", Text(pdf), StringComparison.Ordinal);
        Assert.DoesNotContain("Flocking:", Text(pdf), StringComparison.Ordinal);
        StaysWithin(pdf, MarginPt);
    }

    [Fact]
    public void ThirtyHorses_takeNumberedPages_andNoHeadingStandsAlone()
    {
        using var pdf = PdfDocument.Open(VisitSheetPaper.Print(Sheet([.. Enumerable.Range(1, 30).Select(i => Horse($"Horse no. {i}", i % 7))])));
        var pages = pdf.GetPages().ToList();

        Assert.InRange(pages.Count, 15, 40);
        for (var i = 0; i < pages.Count; i++)
        {
            var text = Text(pages[i]);
            Assert.Contains($"Page {i + 1} of {pages.Count}", text, StringComparison.Ordinal);
            Assert.Contains("Visit to Larkfield", text, StringComparison.Ordinal);
            foreach (var heading in Lines(pages[i]).Where(line => line.StartsWith("Horse no. ", StringComparison.Ordinal) && line.Contains("looked at", StringComparison.Ordinal)))
                InOrder(text, heading.Split(" looked")[0], "Last measured", "The saddle", "To do", "Fit check");
        }
        InOrder(Text(pdf), [.. Enumerable.Range(1, 30).Select(i => $"Horse no. {i} looked at")]);
        StaysWithin(pdf, MarginPt);
    }

    [Fact]
    public void AHorseOverTwoPages_isNamedAgain()
    {
        using var pdf = PdfDocument.Open(VisitSheetPaper.Print(Sheet([Horse("Bramble", 60)])));

        Assert.True(pdf.NumberOfPages > 1);
        Assert.All(pdf.GetPages().Skip(1), page => Assert.Contains("Bramble, continued", Text(page), StringComparison.Ordinal));
        StaysWithin(pdf, MarginPt);
    }

    [Fact]
    public void WhatIsOut_isSaidOnce()
    {
        var horse = Horse("Bramble", 0);
        var saddle = horse.Saddles[0];
        var (statement, check) = ("Tree 27 mm narrower than the back at T13 (limit 20)", saddle.Checks[0]);
        var told = saddle with
        {
            Checks = [check with { Why = [$"{statement}: chance of being out 98 %. Do not ride in it until it has been looked at.", .. check.Why] }],
            Findings = [new("width@T13", Severity.Out, statement, $"Out of tolerance. {statement}: chance of being out 98 %.")],
        };
        using var pdf = PdfDocument.Open(VisitSheetPaper.Print(Sheet([horse with { Saddles = [told] }])));

        Assert.Equal(2, Text(pdf).Split("27 mm narrower").Length);
        InOrder(Text(pdf), "Do not ride in it until it has been looked at.", "Fit last checked", "Findings", "27 mm narrower");
    }

    [Theory]
    [InlineData("Zoë Þórðr Čapek Łucja", "Zoë Þórðr Capek Lucja")]
    [InlineData("(Moss) \\ <<Fern>> %PDF \u201cQuoted\u201d – 5 €", "(Moss) \\ <<Fern>> %PDF \u201cQuoted\u201d – 5 €")]
    [InlineData("Ἀχιλλεύς Буцефал", "Achilleys Butsefal")]
    [InlineData("東風 🐴", "?? ?")]
    [InlineData("line\nbreak\ttab\u0000nul \u202Egnp.exe", "line break tab nul gnp.exe")]
    public void ANameInAnyLetters_canBeRead(string name, string printed)
    {
        using var pdf = PdfDocument.Open(VisitSheetPaper.Print(Sheet([Horse(name, 1)]) with { Yard = new("y", name), Fitter = new("f", name) }));

        InOrder(Text(pdf), $"Visit to {printed}", $"Fitter: {printed}", $"{printed} looked at");
    }

    [Fact]
    public void NamesTooLongForALine_areWrappedOrCut()
    {
        var name = new string('Æ', 120) + " " + string.Join(' ', Enumerable.Repeat("of the long hill", 12));
        using var pdf = PdfDocument.Open(VisitSheetPaper.Print(Sheet([Horse(name, 1)]) with { Yard = new("y", name), Fitter = new("f", name) }));

        Assert.Equal(120 * 2, Text(pdf.GetPage(1)).Split("To bring")[1].Count(letter => letter == 'Æ'));
        StaysWithin(pdf, MarginPt);
    }

    [Fact]
    public void NobodyDue_saysSo()
    {
        using var pdf = PdfDocument.Open(VisitSheetPaper.Print(Sheet([])));

        InOrder(Text(pdf), "For whichever fitter comes", "No check of a saddle is due");
        Assert.Contains("Page 1 of 1", Text(pdf), StringComparison.Ordinal);
    }

    [Fact]
    public void EveryLetterOfTheStandardFonts_hasAWidth()
    {
        using var document = new PaperDocument("widths");
        foreach (var letter in Enumerable.Range(0x20, 0x5f).Concat(Enumerable.Range(0xa1, 0x5f)).Select(code => ((char)code).ToString()).Concat(["€", "…", "•", "Š", "œ"]).Where(letter => WinAnsi.Readable(letter).Length > 0))
            Assert.True(document.Plain.WidthOf(WinAnsi.Readable(letter), 10) > 1, letter);
    }

    private static VisitSheet Sheet(IReadOnlyList<VisitHorse> horses) => new(
        new("y", "Larkfield"), new(2026, 11, 25), new(2026, 11, 25), null, [new("Flocking", [.. horses.Select(horse => horse.Horse.Name)])], horses, Cautions.ForFit);

    private static VisitHorse Horse(string name, int findings)
    {
        var check = new VisitCheck("c", CheckKind.Fit, CheckState.Open, Urgency.Soon, new(2026, 12, 1), null, "Fit check, due 1 December 2026, not booked", ["Fit last checked on 1 June 2026: every 26 weeks of riding in steady work."]);
        var moved = new[] { "T8", "T13", "T18" }.Select(at => new VisitMove($"{at}.width150", at, null, new(2026, 6, 1), 12.4, 3, "mm", 6, true, $"Width at {at}")).ToList();
        var saddle = new VisitSaddle(
            "p", new("s", "The saddle"), "Adjustable tree, wool", 10, "Front of the tree 10 mm behind T8", [check], new(2026, 6, 1), "Since it was last looked at, on 1 June 2026", moved,
            [.. Enumerable.Range(0, findings).Select(i => new VisitFinding($"f{i}", Severity.Watch, $"Panel {i} mm off the back", $"Keep an eye on it. Panel {i} mm off the back in the middle third near T13 on the left (watched from 5): chance of being out 12 %."))],
            [new("Flocking", ["A hollow of about 6 mm"])], []);
        return new VisitHorse(new("h", name), [], [], new(2026, 11, 20), [saddle]);
    }
}
