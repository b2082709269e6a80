using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using System.Text.Json.Nodes;
using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Service.Tests.Delivery;

public sealed class MailPumpTests
{
    private static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Letter_isSent_whenItIsWritten(StoreKind store)
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings, store);

        var id = await yard.WriteAsync();
        var sent = await yard.WaitSentAsync(id);

        Assert.Equal($"{id}@larkfield.test", Assert.Single(office.Letters).MessageId);
        Assert.Equal((1, "2026-11-25T09:00:00.000Z"), (sent["attempts"]!.GetValue<int>(), sent["sentAt"]!.GetValue<string>()));
        Assert.Null(sent["nextAt"]);
        Assert.Null(sent["lastError"]);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Server_thatIsDead_isTriedMoreAndMoreSeldom_andThenTheLetterIsParked(StoreKind store)
    {
        var port = Ports.Free();
        await using var yard = await MailYard.SettleAsync(new() { Mail = PostOffice.SettingsFor(port) }, store);
        var written = yard.Service.Clock.GetUtcNow();
        var id = await yard.WriteAsync();
        var waits = new List<TimeSpan>();
        JsonNode message;

        for (var tries = 1; ; tries++)
        {
            message = await yard.WaitTriedAsync(id, tries);
            if (MailYard.State(message) == "parked")
                break;
            var next = message["nextAt"]!.GetValue<DateTimeOffset>();
            waits.Add(next - yard.Service.Clock.GetUtcNow());
            yard.Service.Clock.SetUtcNow(next);
        }

        Assert.Equal([1, 5, 30, 120, 360, 720, 720, 720, 720, 720, 204], waits.Select(wait => wait.TotalMinutes));
        Assert.Equal(TimeSpan.FromDays(3), yard.Service.Clock.GetUtcNow() - written);
        Assert.StartsWith($"The mail server 127.0.0.1:{port} could not be reached", message["lastError"]!.GetValue<string>(), StringComparison.Ordinal);

        await using var office = PostOffice.Open(port);
        (await yard.Service.Admin.PostAsync($"{yard.Messages}/{id}/retry")).Should(HttpStatusCode.OK);
        await yard.WaitSentAsync(id);
        Assert.Single(office.Taken);
        (await yard.Service.Admin.PostAsync($"{yard.Messages}/{id}/retry")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
    }

    [Fact]
    public async Task Server_thatHangs_isGivenUpSoon_andHoldsUpNobody()
    {
        using var silent = new TcpListener(IPAddress.Loopback, 0);
        silent.Start();
        await using var yard = await MailYard.SettleAsync(new() { Mail = PostOffice.SettingsFor(((IPEndPoint)silent.LocalEndpoint).Port) });
        var id = await yard.WriteAsync();
        using var held = await silent.AcceptTcpClientAsync(TestContext.Current.CancellationToken);

        var watch = Stopwatch.StartNew();
        await yard.Service.HorseAsync(yard.Yard.YardId, "Sorrel");
        Assert.InRange(watch.Elapsed, TimeSpan.Zero, TimeSpan.FromSeconds(2));
        yard.Service.Clock.Advance(MailServer.Patience);

        var message = await yard.WaitTriedAsync(id, 1);
        Assert.Equal("pending", MailYard.State(message));
        Assert.Contains("did not answer within 20 seconds", message["lastError"]!.GetValue<string>(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Stop_whileTheServerHangs_isPrompt_andTheLetterIsSentByTheNextRun()
    {
        using var silent = new TcpListener(IPAddress.Loopback, 0);
        silent.Start();
        await using var yard = await MailYard.SettleAsync(new() { Mail = PostOffice.SettingsFor(((IPEndPoint)silent.LocalEndpoint).Port) });
        var id = await yard.WriteAsync();
        using var held = await silent.AcceptTcpClientAsync(TestContext.Current.CancellationToken);

        var watch = Stopwatch.StartNew();
        await yard.Service.StopAsync();
        Assert.InRange(watch.Elapsed, TimeSpan.Zero, TimeSpan.FromSeconds(10));

        await using var office = PostOffice.Open();
        var next = new MailYard(await yard.Service.AgainAsync(office.Settings), yard.Yard, yard.SubscriptionId);
        Assert.Equal(1, (await next.WaitSentAsync(id))["attempts"]!.GetValue<int>());
        Assert.Single(office.Taken);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Letter_ofSomebodyWhoWasKilled_isSentOnceItsClaimHasRunOut(StoreKind store)
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(new(), store);
        var id = await yard.WriteAsync();
        await using (var session = await yard.Service.Database.WriteAsync("test", TestContext.Current.CancellationToken))
        {
            Assert.Equal(id, (await MessageStore.ClaimAsync(session, 2 * Minute))!.Id);
            await session.CommitAsync();
        }
        await yard.Service.StopAsync();

        var next = new MailYard(await yard.Service.AgainAsync(office.Settings), yard.Yard, yard.SubscriptionId);
        var other = new MailYard(next.Service, yard.Yard, await MailYard.SubscribeAsync(next.Service.Database, yard.Yard.YardId, "morwen@larkfield.test"));
        await other.WaitSentAsync(await other.WriteAsync());
        Assert.Equal("pending", MailYard.State(await next.MessageAsync(id)));
        yard.Service.Clock.Advance(2 * Minute);

        Assert.Equal(2, (await next.WaitSentAsync(id))["attempts"]!.GetValue<int>());
        Assert.Equal(2, office.Taken.Count);
    }

    [Fact]
    public async Task Instances_sideBySide_sendEachLetterOnce()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings, StoreKind.Postgres);
        var beside = await yard.Service.AgainAsync(office.Settings);

        var ids = new List<string>();
        for (var i = 0; i < 20; i++)
        {
            ids.Add(await yard.WriteAsync());
            ids.Add(await yard.WriteAsync(beside.Database, "{\"yardName\":\"Larkfield\",\"on\":\"2026-11-25\",\"lines\":[],\"visits\":[]}", yard.SubscriptionId, "week"));
        }
        foreach (var id in ids)
            await yard.WaitSentAsync(id);

        Assert.Equal(ids.Order(), office.Letters.Select(letter => letter.MessageId!.Split('@')[0]).Order());
    }

    [Fact]
    public async Task Address_thatIsRefusedForGood_parksItsLetterOnly()
    {
        await using var office = PostOffice.Open(unknown: "gone@larkfield.test");
        await using var yard = await MailYard.SettleAsync(office.Settings);
        var gone = new MailYard(yard.Service, yard.Yard, await MailYard.SubscribeAsync(yard.Service.Database, yard.Yard.YardId, "gone@larkfield.test"));

        var refused = await gone.WriteAsync();
        var other = await yard.WriteAsync();

        var message = await gone.WaitTriedAsync(refused, 1);
        Assert.Equal("parked", MailYard.State(message));
        Assert.Contains("refuses the address for good: 550", message["lastError"]!.GetValue<string>(), StringComparison.Ordinal);
        await yard.WaitSentAsync(other);
        Assert.Equal("isla@larkfield.test", Assert.Single(office.Letters).To.Mailboxes.Single().Address);
    }

    [Fact]
    public async Task Server_thatIsBusy_getsTheLetterAMinuteLater()
    {
        await using var office = PostOffice.Open();
        office.Busy = 1;
        await using var yard = await MailYard.SettleAsync(office.Settings);

        var id = await yard.WriteAsync();
        var message = await yard.WaitTriedAsync(id, 1);
        Assert.Contains("451 try again later", message["lastError"]!.GetValue<string>(), StringComparison.Ordinal);
        yard.Service.Clock.Advance(Minute);

        Assert.Equal(2, (await yard.WaitSentAsync(id))["attempts"]!.GetValue<int>());
        Assert.Single(office.Taken);
    }

    [Theory]
    [InlineData("bt:right", "sent")]
    [InlineData("bt:wrong", "pending")]
    public async Task Server_thatAsksWhoSends_isTold(string account, string state)
    {
        await using var office = PostOffice.Open(account: "bt:right");
        await using var yard = await MailYard.SettleAsync(new() { Mail = office.Mail with { User = account.Split(':')[0], Password = account.Split(':')[1] } });

        var id = await yard.WriteAsync();
        var message = await yard.WaitAsync(id, m => MailYard.State(m) == "sent" || m["lastError"] is not null);

        Assert.Equal(state, MailYard.State(message));
        Assert.DoesNotContain("wrong", message.ToJsonString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Server_withoutTls_getsNothingWhereTlsIsAskedFor()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(new() { Mail = office.Mail with { Security = "start-tls" } });

        var message = await yard.WaitTriedAsync(await yard.WriteAsync(), 1);

        Assert.Contains("STARTTLS", message["lastError"]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.Empty(office.Taken);
    }

    [Fact]
    public async Task Letter_ofASubscriptionThatEnded_isNotSent()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        await using (var session = await yard.Service.Database.WriteAsync("test", TestContext.Current.CancellationToken))
        {
            Assert.True(await SubscriptionStore.EndAsync(session, yard.SubscriptionId));
            await session.CommitAsync();
        }

        var message = await yard.WaitTriedAsync(await yard.WriteAsync(), 1);

        Assert.Equal("parked", MailYard.State(message));
        Assert.Empty(office.Taken);
    }

    [Fact]
    public async Task Letter_ofAYardTakenOffItsSubscription_isNotSent()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        await yard.Service.ExecuteAsync($"delete from subscription_yards where subscription_id = '{yard.SubscriptionId}'");

        var message = await yard.WaitTriedAsync(await yard.WriteAsync(), 1);

        Assert.Equal(("parked", "The subscription is not of its yard any more."), (MailYard.State(message), message["lastError"]!.GetValue<string>()));
        Assert.Empty(office.Taken);
    }

    [Fact]
    public async Task Letters_thatWaitedForMoreThanAWeek_areParkedWithTheReason()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(new());
        var id = await yard.WriteAsync();
        yard.Service.Clock.Advance(TimeSpan.FromDays(7) + Minute);
        await yard.Service.StopAsync();

        var next = new MailYard(await yard.Service.AgainAsync(office.Settings), yard.Yard, yard.SubscriptionId);
        var message = await next.WaitAsync(id, m => MailYard.State(m) == "parked");

        Assert.Equal("It had waited for more than 7 days. What is still open is told anew.", message["lastError"]!.GetValue<string>());
        Assert.Empty(office.Taken);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Letters_whatCannotWaitGoesFirst_andAReceiversInOrder(StoreKind store)
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(new(), store);
        var other = await MailYard.SubscribeAsync(yard.Service.Database, yard.Yard.YardId, "morwen@larkfield.test");
        string[] written = [await yard.WriteAsync(occasion: "digest"), await yard.WriteAsync(occasion: "week"), await yard.WriteAsync(), await yard.WriteAsync(subscription: other), await yard.WriteAsync()];
        // As after a failed try: the first has its next one later than those that came after it.
        await yard.Service.ExecuteAsync($"update messages set next_at = '2026-11-25T09:01:00.000Z', attempts = 1 where id = '{written[2]}'");
        await yard.Service.StopAsync();

        var next = new MailYard(await yard.Service.AgainAsync(office.Settings), yard.Yard, yard.SubscriptionId);
        await next.WaitSentAsync(written[1]);
        Assert.Equal([written[3], written[0], written[1]], office.Letters.Select(IdOf));
        yard.Service.Clock.Advance(Minute);
        await next.WaitSentAsync(written[4]);

        Assert.Equal([written[2], written[4]], office.Letters.Select(IdOf).Skip(3));
    }

    [Fact]
    public async Task Letter_thatFailsAgain_holdsUpNoOther()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        var spoilt = await yard.WriteAsync(yard.Service.Database, "[]", yard.SubscriptionId, "at-once");
        await yard.WaitTriedAsync(spoilt, 1);
        var good = await yard.WriteAsync();
        yard.Service.Clock.Advance(Minute);

        await yard.WaitSentAsync(good);
        Assert.Equal("pending", MailYard.State(await yard.MessageAsync(spoilt)));
    }

    private static string IdOf(MimeKit.MimeMessage letter) => letter.MessageId!.Split('@')[0];

    [Fact]
    public async Task Letter_thatCannotBeRead_holdsUpNoOther()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);

        var spoilt = await yard.WriteAsync(yard.Service.Database, "[]", yard.SubscriptionId, "digest");
        var good = await yard.WriteAsync();

        Assert.Equal("pending", MailYard.State(await yard.WaitTriedAsync(spoilt, 1)));
        await yard.WaitSentAsync(good);
    }

    [Fact]
    public async Task Letters_withoutAMailServer_wait()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(new());
        var id = await yard.WriteAsync();
        yard.Service.Clock.Advance(TimeSpan.FromDays(6));
        await yard.Service.StopAsync();

        var next = new MailYard(await yard.Service.AgainAsync(office.Settings), yard.Yard, yard.SubscriptionId);
        await next.WaitSentAsync(id);

        Assert.Single(office.Taken);
    }
}
