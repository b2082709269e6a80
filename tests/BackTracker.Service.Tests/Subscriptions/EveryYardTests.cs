using System.Net;
using BackTracker.Service.Tests.Delivery;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Subscriptions;

/// <summary>An address that is subscribed to every yard, by the links of letters that really came.</summary>
public sealed class EveryYardTests
{
    private const string Every = "every yard, those to come among them";

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Address_ofEveryYard_isAskedAndToldAndEndedAsSuch(StoreKind store)
    {
        await using var office = PostOffice.Open();
        await using var service = await RunningService.StartAsync(store, settings: office.Settings);
        await Yardful.SettleAsync(service);
        using var reader = new PageClient(service);

        var id = await service.Admin.MakeAsync("/v1/subscriptions", new { email = "office@larkfield.test" });
        var asked = await office.LetterAsync(1);
        Assert.Contains($"send letters about {Every} to this address", asked.TextBody, StringComparison.Ordinal);
        await PressAsync(reader, PostOffice.LinkIn(asked, "Confirm this address"), "/confirm-address");

        var later = await Yardful.SettleAsync(service, "Mill Bottom");
        await SeeSoreAsync(service, later.HorseId);
        var told = await office.LetterAsync(2);
        Assert.Contains("Mill Bottom", told.TextBody, StringComparison.Ordinal);
        await PressAsync(reader, PostOffice.LinkIn(told, "End these letters"), "/end-subscription");

        await SeeSoreAsync(service, later.HorseId, "heat");
        Assert.Equal(["confirm", "at-once"], (await service.Admin.GetAsync($"/v1/subscriptions/{id}/messages")).Should(HttpStatusCode.OK).Texts("occasion"));
    }

    private static async Task SeeSoreAsync(RunningService service, string horseId, string kind = "open-sore")
    {
        await service.Admin.MakeAsync($"/v1/horses/{horseId}/observations", new { observedOn = "2026-11-25", kind, note = "Seen." });
        await service.SettledAsync();
    }

    /// <summary>Opens a page that names every yard, and presses its button.</summary>
    private static async Task PressAsync(PageClient reader, string page, string action)
    {
        Assert.Contains($"<li>{Every}</li>", (await reader.GetAsync(page)).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);
        (await reader.FillAsync(page, action, ("word", page.Split('=')[1]))).Should(HttpStatusCode.Found);
    }
}
