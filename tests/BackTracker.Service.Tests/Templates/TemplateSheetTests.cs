using System.Net;
using System.Security.Cryptography;
using System.Text;
using BackTracker.Service.Tests.Commissions;
using BackTracker.Service.Tests.Harness;
using UglyToad.PdfPig;
using static BackTracker.Service.Tests.Harness.ReadPaper;

namespace BackTracker.Service.Tests.Templates;

/// <summary>What a template says, and when there is none.</summary>
public sealed class TemplateSheetTests
{
    [Fact]
    public async Task Template_saysWhoseItIs_howItWasMeasured_andWhatItsLinesAre()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, i => new() { WiderMm = 2 * i });
        var on = TracedYard.Text(yard.Today.AddDays(70));

        using var pdf = PdfDocument.Open(await GetAsync(service, $"/v1/horses/{yard.HorseId}/template.pdf?on={on}"));
        var first = Unbroken(Text(pdf.GetPage(1)));

        InOrder(first, "Sorrel, T8", "Larkfield. Measured on 25 November 2026, by Isla Brook, flexible curve, before work. Nobody wrote down how it stood.",
            "T8, seen from behind: the tail is towards you", "Spine and a level line were marked on every trace.", "Full line: mean of 2 traces.", "mm wide 30 mm below",
            "Broken line: expected on 3 February 2027. With 80 % it lies", "on the left", "on the right", "the horse's left", "Both ruled lines must measure 100 mm", "print it again at 100 %",
            "The judgement of a qualified fitter comes first.");
        Assert.Contains("T13, 210 mm behind T8", Unbroken(Text(pdf)), StringComparison.Ordinal);
        foreach (var page in pdf.GetPages())
        {
            var read = new ReadTemplate(page);
            Assert.Equal(2, read.Curves.Count);
            Assert.Single(read.Filled);
            Assert.Contains($"Page {page.Number} of {pdf.NumberOfPages}", Text(page), StringComparison.Ordinal);
            Assert.Contains("Both ruled lines", Text(page), StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Template_ofTheDayItWasMeasured_drawsTheExpectedShapeThere()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(6, _ => new());
        var expected = (await yard.ProfilesAsync())["items"]!.AsArray().Single(item => item!["station"]!.GetValue<string>() == "T13")!["expected"]!["points"]!.AsArray();

        using var pdf = PdfDocument.Open(await GetAsync(service, $"/v1/horses/{yard.HorseId}/template.pdf?station=T13&paper=a3&on={yard.TodayText}"));
        var page = new ReadTemplate(pdf.GetPage(1));

        Assert.Equal(expected.Count, page.Curves[1].Count);
        foreach (var (drawn, told) in page.Curves[1].Zip(expected))
        {
            Assert.Equal(told![0]!.GetValue<double>(), drawn.X - page.Spine.X, .01);
            Assert.Equal(told[1]!.GetValue<double>(), page.Spine.Y - drawn.Y, .01);
        }
    }

    [Fact]
    public async Task OneTraceWithoutMarks_andAnOldOne_sayWhatTheyAreNotGoodFor()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        (await service.Admin.PostAsync($"/v1/horses/{yard.HorseId}/measurements", new
        {
            measuredAt = service.Clock.GetUtcNow(),
            measuredBy = yard.ManagerId,
            method = "flexible-curve",
            exercise = "after",
            stance = new { square = true, head = "low" },
            traces = new[] { new { station = "T13", points = System.Text.Json.Nodes.JsonNode.Parse(new Drawing().Points) } },
        })).Should(HttpStatusCode.Created);
        await service.PassDaysAsync(70);

        using var pdf = PdfDocument.Open(await GetAsync(service, $"/v1/horses/{yard.HorseId}/template.pdf?on={yard.TodayText}"));

        InOrder(Unbroken(Text(pdf.GetPage(1))), "after work. Stood square, head low.", "10 weeks before: backs in work differ after two months. Measure again",
            "left and right must not be compared", "Full line: a single trace. Nothing tells how well it would repeat.", "cannot be told: too little was measured before work");
        Assert.Single(new ReadTemplate(pdf.GetPage(1)).Curves);
    }

    [Fact]
    public async Task ALongNameInOtherLetters_isSpeltAndWrapped()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureAsync();
        var name = $"Буцефал {new string('W', 80)}";
        (await service.Admin.SendAsync(HttpMethod.Put, $"/v1/horses/{yard.HorseId}", new { yardId = yard.YardId, name }, ("If-Match", "*"))).Should(HttpStatusCode.OK);

        foreach (var sheet in new[] { "template.pdf", "record.pdf" })
        {
            using var pdf = PdfDocument.Open(await GetAsync(service, $"/v1/horses/{yard.HorseId}/{sheet}"));
            Assert.Contains("Butsefal", Text(pdf.GetPage(1)), StringComparison.Ordinal);
            Assert.True(pdf.GetPage(1).Letters.Count(letter => letter.Value == "W") >= 80, sheet);
            StaysWithin(pdf, 26);
        }
    }

    [Fact]
    public async Task WhatIsNotThere_isRefusedWithWhatToDo()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        var template = $"/v1/horses/{yard.HorseId}/template.pdf";
        Assert.Contains("was never traced", (await service.Admin.GetAsync(template)).ShouldBeProblem(HttpStatusCode.Conflict, "conflict").Text, StringComparison.Ordinal);

        var id = (await yard.MeasureAsync(new() { Stations = ["T8", "T13"] }))["id"]!.GetValue<string>();

        (await service.Admin.GetAsync($"{template}?station=T13&measurementId={id}")).Should(HttpStatusCode.OK);
        Assert.Contains("never traced at T18", (await service.Admin.GetAsync($"{template}?station=T18")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict").Text, StringComparison.Ordinal);
        Assert.Contains("What was: T8, T13.", (await service.Admin.GetAsync($"{template}?station=T18&measurementId={id}")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict").Text, StringComparison.Ordinal);
        (await service.Admin.GetAsync($"{template}?station=T99")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        (await service.Admin.GetAsync($"{template}?paper=b5")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        (await service.Admin.GetAsync($"{template}?measurementId={yard.SaddleId}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        var widths = await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/measurements", new
        {
            measuredAt = service.Clock.GetUtcNow(),
            measuredBy = yard.ManagerId,
            method = "calliper",
            exercise = "before",
            widths = new[] { new { station = "T13", depthMm = 150, widthMm = 306 } },
        });
        Assert.Contains("widths alone tell no shape", (await service.Admin.GetAsync($"{template}?measurementId={widths}")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict").Text, StringComparison.Ordinal);
        (await service.Admin.PostAsync($"/v1/measurements/{id}/void", new { reason = "Wrong horse." })).Should(HttpStatusCode.OK);
        Assert.Contains("was voided", (await service.Admin.GetAsync($"{template}?measurementId={id}")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict").Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task TemplateOfACommission_isDrawnFromItsStoredText_andNotOnceThatWasChanged()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await CommissioningYard.SettleAsync(service);
        await yard.OrderAsync(320, 60);
        var session = new TracedBack().Session(service.Clock.GetUtcNow(), yard.Yard.ManagerId);
        var measurementId = await yard.Admin.MakeAsync($"/v1/horses/{yard.Yard.HorseId}/measurements", session);
        await yard.StageAsync("measured", measurementId);
        await yard.StageAsync("template-sent");
        (await yard.Admin.PostAsync($"/v1/measurements/{measurementId}/void", new { reason = "Taken again." })).Should(HttpStatusCode.OK);
        var sent = (await yard.Admin.GetAsync($"{yard.Path}/templates")).Items.Single()!;
        var path = $"{yard.Path}/templates/{sent["id"]}/template.pdf";

        using (var pdf = PdfDocument.Open(await GetAsync(service, $"{path}?paper=a3")))
        {
            Assert.Equal(3, pdf.NumberOfPages);
            InOrder(Unbroken(Text(pdf.GetPage(1))), "Bramble, T8", "As it was sent on", "SHA-256 of its text:", sent["checksum"]!.GetValue<string>());
        }
        // What was measured is answered as it is stored.
        Assert.Equal(sent["checksum"]!.GetValue<string>(), Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(sent["measured"]!.ToJsonString()))));

        await service.ExecuteAsync("update commission_templates set body = replace(body, '\"repeat\":2', '\"repeat\":3')");
        Assert.Contains("its SHA-256 is another", (await yard.Admin.GetAsync(path)).ShouldBeProblem(HttpStatusCode.Conflict, "conflict").Text, StringComparison.Ordinal);
    }
}
