using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Browser.Tests.Harness;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Browser.Tests;

/// <summary>Moving a check on from its page, with the keyboard alone on a phone's width, with and without script; read back over the API.</summary>
[Collection(Pages.Name)]
public sealed class CheckPageTests(Browsing browsing)
{
    private ApiClient Api => browsing.Demo.Api;

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Booking_andItsTakingBack_areRefusedBesideTheField_andRecorded(bool script)
    {
        var check = await browsing.OpenCheckAsync();
        await using var window = await browsing.SignedInAsync(script: script);
        var page = window.Page;
        await window.GoAsync(Page(check));

        await page.TurnYearAsync("#book-on", "ArrowDown");
        await page.SendAsync(Button("book"));

        await page.Locator("#book-on[aria-invalid=true]").WaitForAsync();
        Assert.Contains("today or a later day", await page.Locator("#book-on-error").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal("open", (await GetAsync(check))["state"]!.GetValue<string>());
        await page.TurnYearAsync("#book-on", "ArrowUp");
        await page.SendAsync(Button("book"));

        var booked = await GetAsync(check);
        Assert.Equal("booked", booked["state"]!.GetValue<string>());
        Assert.NotNull(booked["fitterId"]);
        await page.EnterAsync("details:has(form[action$='/unbook']) > summary");
        await page.TypeIntoAsync("#unbook-reason", "The fitter is snowed in.");
        await page.SendAsync(Button("unbook"));
        Assert.Equal("open", (await GetAsync(check))["state"]!.GetValue<string>());
        Assert.Contains("Booking taken back: The fitter is snowed in.", await page.InnerTextAsync("main"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Postponing_beyondTheWindow_needsTheTick()
    {
        var check = await browsing.OpenCheckAsync();
        await using var window = await browsing.SignedInAsync(script: false);
        var page = window.Page;
        await window.GoAsync(Page(check));
        await page.EnterAsync("details:has(form[action$='/postpone']) > summary");
        await page.TypeIntoAsync("#postpone-until", "12122027");
        await page.TypeIntoAsync("#postpone-reason", "Away until then.");
        await page.SendAsync(Button("postpone"));

        Assert.Contains("The window closes on", await page.Locator("[role=alert]").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Null((await GetAsync(check))["postponedUntil"]);
        await page.TabToAsync("[name='/acceptRisk']");
        await page.Keyboard.PressAsync("Space");
        await page.SendAsync(Button("postpone"));

        var later = await GetAsync(check);
        Assert.Equal("2027-12-12", later["postponedUntil"]!.GetValue<string>());
        Assert.True(later["acceptedRisk"]!.GetValue<bool>());
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Completing_withFlocking_takesOneField_andIsOnTheSaddle(bool script)
    {
        var check = await browsing.OpenCheckAsync();
        await using var window = await browsing.SignedInAsync(script: script);
        var page = window.Page;
        await window.GoAsync(Page(check));
        await page.EnterAsync("details:has(form[action$='/complete']) > summary");
        await page.TabToAsync("[id='complete-adjustments-0-kind']");
        await page.Keyboard.TypeAsync("Flock");
        await page.TypeIntoAsync("[id='complete-adjustments-0-zones-4-mm']", "80");
        await page.TypeIntoAsync("[id='complete-findings-0-text']", "Sat a little low behind.");
        await page.SendAsync(Button("complete"));

        await page.Locator("[id='complete-adjustments-0-zones-4-mm'][aria-invalid=true]").WaitForAsync();
        await window.KeepAsync($"complete-refused-{script}");
        Assert.Equal("Sat a little low behind.", await page.InputValueAsync("[id='complete-findings-0-text']"));
        await page.TypeIntoAsync("[id='complete-adjustments-0-zones-4-mm']", "2,5");
        await page.TypeIntoAsync("[id='complete-adjustments-0-zones-5-mm']", "2.5");
        await page.SendAsync(Button("complete"));

        var done = await GetAsync(check);
        Assert.Equal("done", done["state"]!.GetValue<string>());
        Assert.Equal("Sat a little low behind.", done["findings"]![0]!["text"]!.GetValue<string>());
        var change = (await AdjustmentsAsync(done)).Single(a => a!["checkId"]?.GetValue<string>() == done["id"]!.GetValue<string>())!;
        Assert.Equal("flocking", change["kind"]!.GetValue<string>());
        Assert.Equal(["rear left 2.5", "rear right 2.5"], change["zones"]!.AsArray().Select(z => $"{z!["zone"]} {z["side"]} {z["mm"]}"));
        await window.KeepAsync("check-done");
        Assert.Equal(0, await page.Locator("main form").CountAsync());
        Assert.Contains("Flocking: left rear +2.5 mm, right rear +2.5 mm.", await page.InnerTextAsync("main"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Dropping_aCheckThatSomebodyChanged_saysSo_andThenTakesIt()
    {
        var check = await browsing.OpenCheckAsync();
        await using var window = await browsing.SignedInAsync(script: false);
        var page = window.Page;
        await window.GoAsync(Page(check));
        await MoveAsync(check, "postpone", new { until = "2027-11-11", reason = "Lame fitter.", acceptRisk = true });
        await page.EnterAsync("details:has(form[action$='/drop']) > summary");
        await page.TypeIntoAsync("#drop-reason", "Sold the saddle.");
        await page.SendAsync(Button("drop"));

        Assert.Contains("Somebody else changed this", await page.Locator("[role=alert]").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal("open", (await GetAsync(check))["state"]!.GetValue<string>());
        await page.SendAsync(Button("drop"));

        var dropped = await GetAsync(check);
        Assert.Equal("dropped", dropped["state"]!.GetValue<string>());
        Assert.Equal("Sold the saddle.", dropped["closingNote"]!.GetValue<string>());
    }

    [Fact]
    public async Task AKeyThatMayOnlyRead_seesNoForms_andWhoMay()
    {
        var check = await browsing.OpenCheckAsync();
        var key = await Api.PostAsync("/v1/keys", new { name = "reader", scopes = new[] { "read" }, yardIds = new[] { check["yardId"]!.GetValue<string>() } });
        await using var window = await browsing.OpenAsync();
        await window.SignInAsync(key["secret"]!.GetValue<string>());
        await window.GoAsync(Page(check));

        Assert.Equal(0, await window.Page.Locator("main form").CountAsync());
        Assert.Contains("recording it as done", await window.Page.InnerTextAsync("main"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task AFormFromElsewhere_isRefused_andNothingIsRecorded()
    {
        var check = await browsing.OpenCheckAsync();
        await using var window = await browsing.SignedInAsync();
        var fields = window.Page.Context.APIRequest.CreateFormData();
        fields.Set("/reason", "Forged.");
        fields.Set("version", "*");

        var response = await window.Page.Context.APIRequest.PostAsync($"{Page(check)}/drop", new() { Form = fields });

        Assert.Equal(400, response.Status);
        Assert.Equal("open", (await GetAsync(check))["state"]!.GetValue<string>());
    }

    [Fact]
    public async Task TheList_leadsToTheCheck_andIsPickedByKind()
    {
        var check = await browsing.OpenCheckAsync();
        await using var window = await browsing.SignedInAsync(script: false);
        var page = window.Page;
        await window.GoAsync($"/yards/{check["yardId"]!.GetValue<string>()}/checks");
        Assert.Equal(1, await page.Locator($"a[href='{Page(check)}']").CountAsync());

        await page.TabToAsync("#fkind");
        await page.Keyboard.TypeAsync("Vet");
        await page.SendAsync("form[method=get] button");

        Assert.Equal(0, await page.Locator($"a[href='{Page(check)}']").CountAsync());
        Assert.Equal("vet", await page.InputValueAsync("#fkind"));
    }

    private static string Page(JsonNode check) => $"/checks/{check["id"]!.GetValue<string>()}";

    private static string Button(string move) => $"form[action$='/{move}'] > button";

    private async Task<Reply> GetAsync(JsonNode check) => await Api.GetAsync($"/v1/checks/{check["id"]!.GetValue<string>()}");

    private async Task MoveAsync(JsonNode check, string move, object body) =>
        (await Api.PostAsync($"/v1/checks/{check["id"]!.GetValue<string>()}/{move}", body, ("If-Match", (await GetAsync(check)).Etag))).Should(HttpStatusCode.OK);

    private async Task<JsonArray> AdjustmentsAsync(Reply check)
    {
        var pairing = await Api.GetAsync($"/v1/pairings/{check["pairingId"]!.GetValue<string>()}");
        return (await Api.GetAsync($"/v1/saddles/{pairing["saddleId"]!.GetValue<string>()}/adjustments")).Items;
    }
}
