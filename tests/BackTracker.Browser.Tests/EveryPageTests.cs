using BackTracker.Browser.Tests.Harness;
using BackTracker.Service.Tests.Demo;

namespace BackTracker.Browser.Tests;

/// <summary>What holds for every page, on a phone and at a desk, by day and by night.</summary>
[Collection(Pages.Name)]
public sealed class EveryPageTests(Browsing browsing)
{
    public static TheoryData<string, Look> All()
    {
        var all = new TheoryData<string, Look>();
        foreach (var page in Known.Keys)
            foreach (var look in new[] { Look.Phone, Look.Desk })
                all.Add(page, look);
        return all;
    }

    /// <summary>Every page by its name, with where the demo has an example.</summary>
    private static readonly Dictionary<string, Func<Browsing, Task<string>>> Known = new()
    {
        ["yards"] = _ => Task.FromResult("/"),
        ["board"] = async browsing => $"/yards/{await browsing.YardIdAsync()}",
        ["visit-sheet"] = async browsing => $"/yards/{await browsing.YardIdAsync()}/visit-sheet?on={FilledDemo.Today.AddDays(120):yyyy-MM-dd}",
        ["visit"] = async browsing => $"/visits/{await browsing.VisitAsync()}",
        ["visit-sheet-of-visit"] = async browsing => $"/visits/{await browsing.VisitAsync()}/sheet",
        ["pairing"] = async browsing => $"/pairings/{await browsing.PairingIdAsync("Lapwing")}",
        ["pairing-by-widths"] = async browsing => $"/pairings/{await browsing.PairingIdAsync("Rowan")}",
        ["what-if"] = async browsing => $"/pairings/{await browsing.PairingIdAsync("Lapwing")}/what-if",
        ["measure"] = async browsing => $"/horses/{await browsing.HorseIdAsync("Sedge")}/measure",
        ["measure-by-traces"] = async browsing => $"/horses/{await browsing.HorseIdAsync("Sedge")}/measure?by=traces",
        ["measure-again"] = async browsing => $"/horses/{await browsing.HorseIdAsync("Sedge")}/measure?corrects={await browsing.AdvisedAsync("Sedge")}",
        ["measurement"] = async browsing => $"/measurements/{await browsing.AdvisedAsync("Sedge")}",
        ["checks"] = async browsing => $"/yards/{await browsing.YardIdAsync()}/checks",
        ["check"] = async browsing => $"/checks/{(await browsing.OpenCheckAsync())["id"]}",
        ["alert"] = async browsing => $"/alerts/{(await browsing.Demo.Api.GetAsync("/v1/alerts?state=raised")).Items[0]!["id"]}",
        ["observe"] = async browsing => $"/horses/{(await browsing.OpenCheckAsync())["horseId"]}/observe",
        ["observation"] = async browsing => $"/observations/{(await browsing.Demo.Api.GetAsync("/v1/observations")).Items[0]!["id"]}",
        ["horse"] = async browsing => $"/horses/{await DemoHorses.IdAsync(browsing, "Sedge")}",
        ["horse-another-measure"] = async browsing => $"/horses/{await DemoHorses.IdAsync(browsing, "Teasel")}?metric=T8.asymmetry150",
        ["horse-by-widths"] = async browsing => $"/horses/{await DemoHorses.IdAsync(browsing, "Rowan")}",
        ["horse-new"] = async browsing => $"/horses/{await DemoHorses.NewAsync(browsing, "Sparrow")}",
        ["horse-retired"] = async browsing => $"/horses/{await DemoHorses.IdAsync(browsing, "Plover")}",
        ["horse-older"] = async browsing => $"/horses/{await DemoHorses.IdAsync(browsing, "Bracken")}?before=2026-06-01_0",
        ["horse-event"] = async browsing => $"/horses/{await DemoHorses.IdAsync(browsing, "Fen")}/events",
        ["take-back"] = async browsing => $"/events/{await browsing.Demo.Api.MakeAsync($"/v1/horses/{await DemoHorses.NewAsync(browsing, "Brambling")}/events", new { on = "2026-11-01", kind = "illness" })}/void",
        ["pairing-ended"] = async browsing => $"/pairings/{await DemoHorses.EndedPairingAsync(browsing)}",
        ["confirm-address"] = browsing => Subscribed.ToConfirmAsync(browsing.Demo),
        ["end-subscription"] = browsing => Subscribed.ToEndAsync(browsing.Demo),
        ["commission"] = async browsing => $"/commissions/{await DemoCommission.OrderAsync(browsing, "Sedge")}",
        ["commission-on-trial"] = async browsing => $"/commissions/{await DemoCommission.OnTrialAsync(browsing, "Sedge")}",
        ["commission-passed"] = async browsing => $"/commissions/{await DemoCommission.PassedAsync(browsing, "Moss")}",
        ["commission-bedding-in"] = async browsing => $"/commissions/{await DemoCommission.BeddingInAsync(browsing, "Moss")}",
        ["commission-order"] = async browsing => $"/horses/{await DemoHorses.IdAsync(browsing, "Fen")}/commission",
        ["commission-of-the-demo"] = async browsing => $"/commissions/{(await browsing.Demo.Api.GetAsync($"/v1/commissions?horseId={await DemoHorses.IdAsync(browsing, "Bracken")}")).Items[0]!["id"]}",
        ["trial-sheet"] = async browsing => $"/commissions/{await DemoCommission.OnTrialAsync(browsing, "Sedge")}/trial-sheet",
        ["waiting"] = _ => Task.FromResult("/waiting"),
        ["people"] = async browsing => $"/yards/{await browsing.YardIdAsync()}/people",
        ["person"] = async browsing => $"/people/{(await browsing.Demo.Api.GetAsync($"/v1/people?role=yard-manager&yardId={await browsing.YardIdAsync()}")).Items[0]!["id"]}",
        ["settings"] = async browsing => $"/yards/{await browsing.YardIdAsync()}/settings",
        ["keys"] = _ => Task.FromResult("/keys"),
        ["key-new"] = _ => Task.FromResult("/keys/new"),
        ["key-end"] = async browsing => $"/keys/{(await browsing.Demo.Api.GetAsync("/v1/keys")).Items[0]!["id"]}/end",
        ["subscriptions"] = async browsing => await Subscribed.ToConfirmAsync(browsing.Demo) is not null ? "/subscriptions" : "",
        ["subscription-new"] = _ => Task.FromResult("/subscriptions/new"),
        ["subscription"] = async browsing => $"/subscriptions/{await Subscribed.WebhookAsync(browsing.Demo)}",
        ["subscription-end"] = async browsing => $"/subscriptions/{await Subscribed.WebhookAsync(browsing.Demo)}/end",
        ["imports"] = _ => Task.FromResult("/imports"),
        ["horse-phase"] = async browsing => $"/horses/{await DemoHorses.IdAsync(browsing, "Fen")}/phases",
    };

    [Theory]
    [MemberData(nameof(All))]
    public async Task Page_isAccessible_fitsTheWindow_andIsSmall(string page, Look look)
    {
        await using var window = await browsing.SignedInAsync(look);

        var response = await window.GoAsync(await Known[page](browsing));

        await window.KeepAsync($"{page}-{look}");
        await window.AssertGoodAsync(page);
        await window.AssertGoodByNightAsync(page);
        await window.KeepAsync($"{page}-Dark{look}");
        Assert.InRange((await response.BodyAsync()).Length, 500, 100 * 1024);
    }

    [Theory]
    [InlineData(Look.Phone)]
    [InlineData(Look.DarkPhone)]
    [InlineData(Look.Desk)]
    public async Task SignIn_withAWrongKey_saysSo(Look look)
    {
        await using var window = await browsing.OpenAsync(look);
        await window.GoAsync("/sign-in");
        await window.AssertGoodAsync("sign-in");
        await window.Page.GetByLabel("Your key").FillAsync("bt_wrong");
        await window.Page.Keyboard.PressAsync("Enter");

        await window.Page.GetByRole(Microsoft.Playwright.AriaRole.Alert).WaitForAsync();
        await window.KeepAsync($"sign-in-{look}");
        Assert.Contains("not known", await window.Page.GetByRole(Microsoft.Playwright.AriaRole.Alert).InnerTextAsync(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("document.querySelector('label').remove()", "label")]
    [InlineData("document.querySelector('h1').style.width = '3000px'", "wider than the window")]
    [InlineData("document.querySelector('h1').remove()", "Assert.Equal")]
    public async Task Page_thatIsSpoilt_isNoticed(string spoil, string noticed)
    {
        await using var window = await browsing.OpenAsync();
        await window.GoAsync("/sign-in");
        await window.Page.EvaluateAsync(spoil);

        var fault = await Assert.ThrowsAnyAsync<Xunit.Sdk.XunitException>(() => window.AssertGoodAsync("sign-in"));

        Assert.Contains(noticed, fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Page_thatCannotBeReadByNight_isNoticed()
    {
        await using var window = await browsing.OpenAsync();
        await window.GoAsync("/sign-in");
        await window.Page.EvaluateAsync("document.querySelector('h1').style.color = '#1a1a1a'");
        await window.AssertGoodAsync("sign-in");

        var fault = await Assert.ThrowsAnyAsync<Xunit.Sdk.XunitException>(() => window.AssertGoodByNightAsync("sign-in"));

        Assert.Contains("color-contrast", fault.Message, StringComparison.Ordinal);
    }
}
