using System.Net;
using BackTracker.Service.Tests.Delivery;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage;

namespace BackTracker.Service.Tests.Subscriptions;

public sealed class MessageTests
{
    private const string Nobody = "0199f6c2-0000-7000-8000-0000000000ff";

    [Fact]
    public async Task Letters_areListed_withoutWhatTheySay()
    {
        await using var yard = await MailYard.SettleAsync(new());
        var first = await yard.WriteAsync();
        var second = await yard.WriteAsync(occasion: "digest");

        var page = (await yard.Service.Admin.GetAsync($"{yard.Messages}?limit=1")).Should(HttpStatusCode.OK);
        var rest = (await yard.Service.Admin.GetAsync(page["next"]!.GetValue<string>())).Should(HttpStatusCode.OK);

        Assert.Equal([first, second], [.. page.Texts("id"), .. rest.Texts("id")]);
        Assert.Equal(["digest"], rest.Texts("occasion"));
        Assert.DoesNotContain("narrow", page.Text + rest.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Letters_thatAreOver_areForgottenAfterThirtyDays_andTheWordOfAnAddressAfterSeven()
    {
        await using var yard = await MailYard.SettleAsync(new());
        var old = await yard.WriteAsync();
        var alert = await yard.WriteAsync();
        var asked = await yard.WriteAsync(occasion: "confirm");
        var waiting = await yard.WriteAsync();
        await yard.Service.ExecuteAsync($"update messages set state = 'parked' where id <> '{waiting}'");
        // Somebody was told of an alert in it; whose, does not matter here.
        await yard.Service.ExecuteAsync($"""
            insert into alerts (id, yard_id, horse_id, identity, concern, cause, state, urgency, text, book_by, due_on, news, change_no, waits, raised_on, version, created_at)
            values ('a', '{yard.Yard.YardId}', '{yard.Yard.HorseId}', 'i', 'check', 'out-now', 'settled', 'now', 't', '2026-11-25', '2026-11-25', 'settled', 1, 'nobody', '2026-11-25', 1, '2026-11-25T09:00:00.000Z');
            insert into alert_decisions (id, alert_id, subscription_id, change_no, news, verdict, reason, message_id, created_at)
            values ('d', 'a', '{yard.SubscriptionId}', 1, 'raised', 'told', 'r', '{alert}', '2026-11-25T09:00:00.000Z')
            """);

        await yard.Service.PassDaysAsync(8);
        Assert.Equal([true, true, false, true], await SayAsync(yard, old, alert, asked, waiting));
        (await yard.Service.Admin.PostAsync($"{yard.Messages}/{asked}/retry")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        await yard.Service.PassDaysAsync(23);
        Assert.Equal([false, true], await SayAsync(yard, alert, waiting));
        Assert.DoesNotContain(old, (await yard.Service.Admin.GetAsync(yard.Messages)).Texts("id"));
    }

    private static async Task<IEnumerable<bool>> SayAsync(MailYard yard, params string[] ids)
    {
        await using var session = await yard.Service.Database.ReadAsync(TestContext.Current.CancellationToken);
        var bodies = (await Storage.Messages.MessageStore.ListAsync(session, yard.SubscriptionId, new Page("", 500))).Items.ToDictionary(m => m.Id, m => m.Body);
        return [.. ids.Select(id => bodies[id] != "{}")];
    }

    [Theory]
    [InlineData("/v1/subscriptions/x/messages")]
    [InlineData($"/v1/subscriptions/{Nobody}/messages")]
    public async Task Letters_ofNobody_areNotFound(string path)
    {
        await using var service = await RunningService.StartAsync();

        (await service.Admin.GetAsync(path)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
    }

    [Fact]
    public async Task Retry_ofALetterOfAnotherSubscription_isNotFound()
    {
        await using var yard = await MailYard.SettleAsync(new());
        var id = await yard.WriteAsync();
        var other = await MailYard.SubscribeAsync(yard.Service.Database, yard.Yard.YardId, "morwen@larkfield.test");

        (await yard.Service.Admin.PostAsync($"/v1/subscriptions/{other}/messages/{id}/retry")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Service.Admin.PostAsync($"{yard.Messages}/{Nobody}/retry")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Service.Admin.PostAsync($"{yard.Messages}/{id}/retry")).Should(HttpStatusCode.OK);
    }
}
