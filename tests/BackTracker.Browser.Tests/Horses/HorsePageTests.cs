using System.Globalization;
using System.Net;
using BackTracker.Browser.Tests.Harness;
using Microsoft.Playwright;

namespace BackTracker.Browser.Tests.Horses;

/// <summary>The page of a horse says what the interface for programs says.</summary>
[Collection(Pages.Name)]
public sealed class HorsePageTests(Browsing browsing)
{
    [Fact]
    public async Task Top_saysTheLineOfTheBoard_andLinksItsChecksAndSaddles()
    {
        var id = await DemoHorses.IdAsync(browsing, "Sedge");
        var board = (await browsing.Demo.Api.GetAsync($"/v1/yards/{await browsing.YardIdAsync()}/board"))["horses"]!.AsArray().First(h => h!["horse"]!["id"]!.GetValue<string>() == id)!;
        await using var window = await browsing.SignedInAsync();

        await window.GoAsync($"/horses/{id}");

        var text = await window.Page.Locator("main").InnerTextAsync();
        Assert.Contains(board["text"]!.GetValue<string>(), text, StringComparison.Ordinal);
        foreach (var check in board["checks"]!.AsArray().Where(c => c!["checkId"] is not null))
            Assert.True(await window.Page.Locator($"a[href='/checks/{check!["checkId"]}']").CountAsync() > 0);
        foreach (var pairing in board["pairings"]!.AsArray())
        {
            Assert.Equal(1, await window.Page.Locator($"section[aria-labelledby=saddles] a[href='/pairings/{pairing!["pairingId"]}']").CountAsync());
            Assert.Contains(pairing["adviceText"]!.GetValue<string>(), text, StringComparison.Ordinal);
        }
        Assert.Equal(1, await window.Page.Locator($"a[href='/horses/{id}/measure']").CountAsync());
        Assert.Equal(1, await window.Page.Locator($"a[href='/horses/{id}/observe']").CountAsync());
    }

    [Theory]
    [InlineData("Sedge", "T13.width150")]
    [InlineData("Rowan", "T13.width150")]
    [InlineData("Teasel", "T8.asymmetry150")]
    public async Task Picture_hasItsNumbersBesideIt(string name, string metric)
    {
        var id = await DemoHorses.IdAsync(browsing, name);
        var trend = (await browsing.Demo.Api.GetAsync($"/v1/horses/{id}/trends?metric={metric}")).Items[0]!;
        await using var window = await browsing.SignedInAsync();

        await window.GoAsync($"/horses/{id}?metric={metric}");

        await window.Page.GetByText("The numbers", new() { Exact = true }).ClickAsync();
        var days = await window.Page.Locator("section[aria-labelledby=moves] tbody th").AllInnerTextsAsync();
        var expected = trend["points"]!.AsArray().Concat(trend["afterWork"]!.AsArray()).Select(p => p!["day"]!.GetValue<string>()).OrderDescending(StringComparer.Ordinal);
        Assert.Equal(expected.Select(LongDay), days);
        Assert.Contains(trend["text"]!.GetValue<string>(), await window.Page.Locator("figcaption").First.InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal(await window.Page.Locator("figure").CountAsync(), await window.Page.Locator("svg.picture:visible").CountAsync());
        Assert.Equal(metric, await window.Page.GetByLabel("Show another measure").InputValueAsync());
    }

    [Theory]
    [InlineData("Sedge", "T13.width150", "Over it the lower face of the panel")]
    [InlineData("Rowan", "T13.width150", "known by its widths")]
    public async Task Section_standsUnderTheSaddleInUse_withItsNumbersInWordsForWhoCannotSeeIt(string name, string metric, string said)
    {
        var id = await DemoHorses.IdAsync(browsing, name);
        await using var window = await browsing.SignedInAsync();

        await window.GoAsync($"/horses/{id}?metric={metric}");

        var picture = window.Page.Locator("figure").Last;
        var words = await picture.Locator("svg:visible desc").TextContentAsync() ?? "";
        Assert.Contains(said, words, StringComparison.Ordinal);
        Assert.Matches("mm down: ", words);
        Assert.Matches("^T13 from behind under .*, as expected today.$", await picture.Locator("figcaption").InnerTextAsync());
        Assert.Equal(said.StartsWith("Over it", StringComparison.Ordinal), (await window.Page.Locator(".cautions").InnerTextAsync()).Contains("laid on as a rigid tree", StringComparison.Ordinal));
        Assert.True(await window.Page.GetByRole(AriaRole.Img, new() { Name = "T13 of" }).IsVisibleAsync());
        Assert.Matches("^/pairings/", (await window.Page.GetByRole(AriaRole.Link, new() { Name = "The whole fit of" }).GetAttributeAsync("href"))!);
    }

    [Fact]
    public async Task AnotherMeasure_isChosenByKeyboardAlone_withoutScript()
    {
        var id = await DemoHorses.IdAsync(browsing, "Sedge");
        await using var window = await browsing.SignedInAsync(script: false);
        await window.GoAsync($"/horses/{id}");

        await window.Page.GetByLabel("Show another measure").FocusAsync();
        await window.Page.Keyboard.TypeAsync("Support");
        await window.Page.Keyboard.PressAsync("Tab");
        await window.Page.Keyboard.PressAsync("Enter");

        await window.Page.ArriveAsync(url => url.Contains("metric=supportLength", StringComparison.Ordinal));
        Assert.Contains("upport length", await window.Page.Locator("figcaption").First.InnerTextAsync(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("metric=T13.girth")]
    [InlineData("before=yesterday")]
    [InlineData("metrics=T13.width150")]
    public async Task Page_thatIsAskedForWhatThereIsNot_saysSo(string query)
    {
        var id = await DemoHorses.IdAsync(browsing, "Sedge");
        await using var window = await browsing.SignedInAsync();

        var response = await window.Page.GotoAsync($"/horses/{id}?{query}");

        Assert.Equal(400, response!.Status);
        Assert.True(await window.Page.GetByRole(AriaRole.Alert).IsVisibleAsync());
    }

    [Fact]
    public async Task History_goesBackToTheFirstRecord_eachOnce()
    {
        var id = await DemoHorses.IdAsync(browsing, "Bracken");
        var recorded = (await browsing.Demo.Api.GetAsync($"/v1/horses/{id}/measurements?limit=500")).Items.Select(m => $"/measurements/{m!["id"]}").Order(StringComparer.Ordinal).ToList();
        await using var window = await browsing.SignedInAsync();
        await window.GoAsync($"/horses/{id}");

        var shown = new List<string?>();
        while (true)
        {
            shown.AddRange(await window.Page.Locator("a[href^='/measurements/']").EvaluateAllAsync<string[]>("links => links.map(link => link.getAttribute('href'))"));
            if (await window.Page.GetByRole(AriaRole.Link, new() { Name = "Older", Exact = true }).CountAsync() == 0)
                break;
            var newer = window.Page.Url;
            await window.Page.GetByRole(AriaRole.Link, new() { Name = "Older", Exact = true }).ClickAsync();
            await window.Page.ArriveAsync(url => url.Contains("before=", StringComparison.Ordinal) && url != newer);
        }

        Assert.Equal(recorded, shown.Order(StringComparer.Ordinal));
        Assert.Contains("begins", await window.Page.Locator("main").InnerTextAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task History_ofMoreThanFifty_isLaidOpenFiftyAtATime()
    {
        var api = browsing.Demo.Api;
        var id = await DemoHorses.NewAsync(browsing, "Plentiful");
        for (var i = 0; i < 63; i++)
            await api.MakeAsync($"/v1/horses/{id}/events", new { on = new DateOnly(2026, 3, 1).AddDays(i / 3).ToString("O", CultureInfo.InvariantCulture), kind = "other", note = $"Number {i:00}." });
        await using var window = await browsing.SignedInAsync();
        await window.GoAsync($"/horses/{id}");

        var newest = await window.Page.GetByText("Number ").AllInnerTextsAsync();
        await window.Page.GetByRole(AriaRole.Link, new() { Name = "Older", Exact = true }).ClickAsync();
        await window.Page.ArriveAsync(url => url.Contains("before=", StringComparison.Ordinal));
        var older = await window.Page.GetByText("Number ").AllInnerTextsAsync();

        Assert.Equal(50, newest.Count);
        Assert.Equal(Enumerable.Range(0, 63).Reverse().Select(i => $"Number {i:00}."), newest.Concat(older));
        Assert.Equal(0, await window.Page.GetByRole(AriaRole.Link, new() { Name = "Older", Exact = true }).CountAsync());
    }

    [Fact]
    public async Task History_tellsVoidsCorrectionsOutcomesAndMoves()
    {
        var api = browsing.Demo.Api;
        var id = await DemoHorses.NewAsync(browsing, "Wren");
        var person = await api.MakeAsync("/v1/people", new { name = "Ada Hill", role = "vet", yardIds = new[] { await browsing.YardIdAsync() } });
        object Measured(string? corrects) => new { measuredAt = "2026-11-20T08:00:00Z", measuredBy = person, method = "calliper", exercise = "before", corrects, widths = new[] { new { station = "T13", depthMm = 150, widthMm = 320 } } };
        var first = await api.MakeAsync($"/v1/horses/{id}/measurements", Measured(null));
        await api.MakeAsync($"/v1/horses/{id}/measurements", Measured(first));
        var happening = await api.PostAsync($"/v1/horses/{id}/events", new { on = "2026-11-01", kind = "illness" });
        (await api.PostAsync($"/v1/events/{happening["id"]}/void", new { reason = "It was another horse." }, ("If-Match", happening.Etag))).Should(HttpStatusCode.OK);
        var seen = await api.MakeAsync($"/v1/horses/{id}/observations", new { observedOn = "2026-11-10", kind = "heat", note = "Behind the girth." });
        (await api.PostAsync($"/v1/observations/{seen}/outcome", new { on = "2026-11-12", by = person, role = "vet", outcome = "cleared", note = "Cool again." })).Should(HttpStatusCode.OK);
        await api.MakeAsync($"/v1/horses/{id}/moves", new { on = "2026-11-22", status = "sold" });
        await using var window = await browsing.SignedInAsync();

        await window.GoAsync($"/horses/{id}");

        var text = await window.Page.Locator("section[aria-labelledby=history]").InnerTextAsync();
        foreach (var said in new[] { "a later record corrects it", "Corrects an earlier record", "It was another horse.", "Heat: cleared by the vet", "Cool again.", "Seen: heat", "Sold" })
            Assert.Contains(said, text, StringComparison.Ordinal);
        Assert.Contains("nothing is scheduled", await window.Page.Locator(".said").InnerTextAsync(), StringComparison.Ordinal);
        await window.AssertGoodAsync("horse-sold");
    }

    [Fact]
    public async Task OpenSigns_comeFirst_withALinkToTheirOutcome()
    {
        var api = browsing.Demo.Api;
        var id = await DemoHorses.NewAsync(browsing, "Linnet");
        var heat = await api.MakeAsync($"/v1/horses/{id}/observations", new { observedOn = "2026-11-10", kind = "heat", side = "left", station = "T13" });
        await using var window = await browsing.SignedInAsync();

        await window.GoAsync($"/horses/{id}");

        Assert.Contains("stop, vet first", await window.Page.Locator("p.said.stop").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Contains("until a vet has looked", await window.Page.Locator(".cautions").InnerTextAsync(), StringComparison.Ordinal);
        await window.AssertGoodAsync("horse-vet-first");
        await window.Page.GetByRole(AriaRole.Link, new() { Name = "Record the outcome" }).ClickAsync();
        await window.Page.ArriveAsync($"/observations/{heat}");
        Assert.True(await window.Page.GetByLabel("What was found").IsVisibleAsync());
    }

    [Fact]
    public async Task History_ofAHorseThatMoved_keepsWhatTheOldYardWroteOfItsSaddle_fromTheNewOne()
    {
        var api = browsing.Demo.Api;
        var (old, next) = (await api.MakeAsync("/v1/yards", new { name = "Old Mill", timeZone = "Europe/London" }), await api.MakeAsync("/v1/yards", new { name = "New Barn", timeZone = "Europe/London" }));
        var horse = await api.MakeAsync("/v1/horses", new { yardId = old, name = "Plover" });
        var fitter = await api.MakeAsync("/v1/people", new { name = "Ada Hill", role = "fitter", yardIds = new[] { old } });
        var saddle = await api.MakeAsync("/v1/saddles", new { yardId = old, label = "Black dressage", tree = "adjustable", filling = "wool" });
        await api.MakeAsync("/v1/pairings", new { horseId = horse, saddleId = saddle, from = "2026-01-01", to = "2026-11-20" });
        var zones = new[] { new { side = "left", zone = "front", mm = 3 } };
        await api.MakeAsync($"/v1/saddles/{saddle}/adjustments", new { doneOn = "2026-11-10", doneBy = fitter, kind = "flocking", zones, note = "Not paid for yet." });
        await api.MakeAsync($"/v1/horses/{horse}/moves", new { on = "2026-11-22", toYardId = next });

        var (all, some) = (await HistoryAsync(horse, old, next), await HistoryAsync(horse, next));

        Assert.Contains("Flocking changed, Black dressage: left front +3 mm", all, StringComparison.Ordinal);
        Assert.Contains("Not paid for yet.", all, StringComparison.Ordinal);
        Assert.Contains("Flocking changed", some, StringComparison.Ordinal);
        Assert.DoesNotContain("+3 mm", some, StringComparison.Ordinal);
        Assert.DoesNotContain("Not paid for yet.", some, StringComparison.Ordinal);
    }

    /// <summary>The history of a horse as a key that reads some yards sees it.</summary>
    private async Task<string> HistoryAsync(string horseId, params string[] yardIds)
    {
        var key = await browsing.Demo.Api.PostAsync("/v1/keys", new { name = "reader", scopes = new[] { "read" }, yardIds });
        await using var window = await browsing.OpenAsync();
        await window.SignInAsync(key["secret"]!.GetValue<string>());
        await window.GoAsync($"/horses/{horseId}");
        return await window.Page.Locator("section[aria-labelledby=history]").InnerTextAsync();
    }

    private static string LongDay(string day) => DateOnly.ParseExact(day, "yyyy-MM-dd", CultureInfo.InvariantCulture).ToString("d MMMM yyyy", CultureInfo.InvariantCulture);
}
