using System.Net;
using System.Text.RegularExpressions;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Alerts;

public sealed class AlertPageTests
{
    [Fact]
    public async Task Acknowledge_fromTheBoard_comesBackToIt()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        await yard.SeeAsync("rub");
        var (alert, board) = (await yard.AlertAsync("saddle-sign"), $"/yards/{yard.YardId}");
        using var client = await PageClient.SignedInAsync(service);
        var version = Regex.Match((await client.GetAsync(board)).Text, "name=\"version\" value=\"([^\"]+)\"").Groups[1].Value;

        var reply = await client.FillAsync(board, $"/alerts/{alert["id"]}/acknowledge", ("version", WebUtility.HtmlDecode(version)), ("from", "board"));

        Assert.Equal(board, reply.Should(HttpStatusCode.Found).Headers.Location!.OriginalString);
        Assert.Contains("Acknowledged.", (await client.GetAsync(board)).Text, StringComparison.Ordinal);
        Assert.Equal("acknowledged", (await yard.AlertAsync("saddle-sign"))["state"]!.GetValue<string>());
    }

    [Fact]
    public async Task Acknowledge_ofAnAlertThatHasChanged_saysSoAndLeavesIt()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        await yard.SeeAsync("rub");
        var page = $"/alerts/{(await yard.AlertAsync("saddle-sign"))["id"]}";
        using var client = await PageClient.SignedInAsync(service);

        var reply = await client.FillAsync(page, $"{page}/acknowledge", ("version", "\"99\""), ("/note", "On it."));

        Assert.Contains("Somebody else changed this", reply.Should(HttpStatusCode.UnprocessableContent).Text, StringComparison.Ordinal);
        Assert.Equal("raised", (await yard.AlertAsync("saddle-sign"))["state"]!.GetValue<string>());
    }

    [Fact]
    public async Task Page_tellsWhatHappenedAndWhoWasToldOnTheYardsClock()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service, "Europe/Berlin");
        await yard.SubscribeAsync(yard.ManagerId);
        await yard.SubscribeAsync(yard.FitterId);
        await service.Admin.MakeAsync("/v1/quiet-periods", new { horseId = yard.HorseId, cause = "saddle-sign", until = "2026-12-10", reason = "horse away" });
        await yard.SeeAsync("open-sore");
        await yard.SeeAsync("rub");
        using var client = await PageClient.SignedInAsync(service);
        var page = $"/alerts/{(await yard.AlertAsync("vet-first"))["id"]}";
        Assert.Contains("The letter to Ada Finch waits to be sent: new, at once: a vet looks first.", (await client.GetAsync(page)).Text, StringComparison.Ordinal);
        await service.ExecuteAsync("update messages set state = 'sent', sent_at = '2026-11-25T09:05:00.000Z'");

        var sore = (await client.GetAsync($"/alerts/{(await yard.AlertAsync("vet-first"))["id"]}")).Should(HttpStatusCode.OK).Text;
        var rub = (await client.GetAsync($"/alerts/{(await yard.AlertAsync("saddle-sign"))["id"]}")).Text;

        Assert.Contains("Told Ada Finch by mail on 25 November 2026, 10:05: new, at once: a vet looks first.", sore, StringComparison.Ordinal);
        Assert.Contains("Not told, Morwen Hale: others are told first; theirs once it is 2 days overdue.", sore, StringComparison.Ordinal);
        Assert.Contains("Not told, Ada Finch: quiet until 10 December 2026, horse away.", rub, StringComparison.Ordinal);
        Assert.True(rub.IndexOf("Raised: Rub seen", StringComparison.Ordinal) < rub.IndexOf("Not told, Ada Finch", StringComparison.Ordinal));
    }
}
