using System.Globalization;
using System.Net;
using BackTracker.Service.Delivery;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Outbox;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using EventTypes = BackTracker.Engine.Alerts.EventTypes;

namespace BackTracker.Service.Tests.Delivery;

/// <summary>What becomes of events on their way to receivers of every temper.</summary>
public sealed class DeliveryTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Event_toAReceiverThatFailsOnce_arrivesAtTheSecondTryWithTheSameIdAndBody(StoreKind store)
    {
        await using var yard = await WebhookYard.StartAsync(store);
        await using var receiver = await FailingAsync(times: 1);
        var (subscription, _) = await yard.SubscribeAsync(receiver.Url);
        var measurement = await yard.WeighAsync(await yard.HorseAsync());

        await yard.PumpAsync();
        Assert.Equal(["pending 1 500"], await yard.StatesAsync(subscription));
        await yard.PassAsync(TimeSpan.FromSeconds(4));
        Assert.Single(receiver.Received);
        await yard.PassAsync(TimeSpan.FromSeconds(2));

        Assert.Equal(["delivered 2 204"], await yard.StatesAsync(subscription));
        Assert.Equal(2, receiver.Received.Count);
        Assert.Equal((receiver.Received[0].Id, receiver.Received[0].Body), (receiver.Received[1].Id, receiver.Received[1].Body));
        Assert.NotEqual(receiver.Received[0].Headers["webhook-timestamp"], receiver.Received[1].Headers["webhook-timestamp"]);
        Assert.Equal(measurement, receiver.Received[0].Json["data"]!["measurementId"]!.GetValue<string>());
        Assert.Equal(receiver.Received[0].Id, receiver.Received[0].Json["id"]!.GetValue<string>());
    }

    [Theory]
    [InlineData("reset", "-", "broke off"), InlineData("redirect", "302", "None is followed"), InlineData("endless", "500", "Answered 500. xxxx"), InlineData("bad-request", "400", "No such thing")]
    [InlineData("nobody", "-", "takes no connection"), InlineData("untrusted", "-", "certificate"), InlineData("hang", "-", "within 15 s"), InlineData("drip", "500", "Answered 500.")]
    public async Task Event_toABadReceiver_isKeptWithTheReasonAndHoldsUpNobody(string temper, string status, string words)
    {
        await using var yard = await WebhookYard.StartAsync();
        await using var bad = await BadAsync(temper);
        await using var good = await Receiver.StartAsync();
        var (atBad, _) = await yard.SubscribeAsync(temper == "nobody" ? Receiver.NobodyAt() : bad.Url);
        var (atGood, _) = await yard.SubscribeAsync(good.Url);
        await yard.WeighAsync(await yard.HorseAsync());

        var pumping = yard.PumpAsync();
        await good.GotAsync(1); // While the other one is still being waited for.
        if (temper is "hang" or "drip")
        {
            await bad.GotAsync(1);
            yard.Service.Clock.Advance(WebhookSender.Timeout);
        }
        await pumping;

        Assert.Equal(["delivered 1 204"], await yard.StatesAsync(atGood));
        Assert.Equal([$"pending 1 {status}"], await yard.StatesAsync(atBad));
        var told = (await yard.DeliveriesAsync(atBad)).Single()["lastError"]!.GetValue<string>();
        Assert.Contains(words, told, StringComparison.Ordinal);
        Assert.InRange(told.Length, 1, 400);
        Assert.True(bad.Received.Count <= 1, "A redirect was followed.");
    }

    [Fact]
    public async Task Event_toAReceiverThatNeverEndsItsThanks_isDelivered()
    {
        await using var yard = await WebhookYard.StartAsync();
        await using var receiver = await Receiver.StartAsync((http, _) => EndlessAsync(http, 200));
        var (subscription, _) = await yard.SubscribeAsync(receiver.Url);
        await yard.WeighAsync(await yard.HorseAsync());
        await yard.PumpAsync();

        Assert.Equal(["delivered 1 200"], await yard.StatesAsync(subscription));
    }

    [Fact]
    public async Task Gone_receiver_getsNothingMoreUntilSomebodyAsks()
    {
        await using var yard = await WebhookYard.StartAsync();
        var gone = true;
        await using var receiver = await Receiver.StartAsync((http, _) => Receiver.Answer(http, gone ? 410 : 204));
        var (subscription, _) = await yard.SubscribeAsync(receiver.Url);
        var horse = await yard.HorseAsync();
        await yard.WeighAsync(horse);
        await yard.WeighAsync(horse);
        await yard.PumpAsync();
        await yard.WeighAsync(horse);
        await yard.PassAsync(TimeSpan.FromDays(1));

        Assert.Single(receiver.Received);
        Assert.Equal(["parked 1 410", "parked 0 -", "parked 0 -"], await yard.StatesAsync(subscription));
        Assert.NotNull((await yard.Admin.GetAsync(subscription))["goneAt"]);

        gone = false;
        var last = (await yard.DeliveriesAsync(subscription))[2]["id"];
        (await yard.Admin.PostAsync($"{subscription}/deliveries/{last}/retry")).Should(HttpStatusCode.OK);
        await yard.WeighAsync(horse);
        await yard.PumpAsync();

        Assert.Equal(["parked 1 410", "parked 0 -", "delivered 1 204", "delivered 1 204"], await yard.StatesAsync(subscription));
        Assert.Null((await yard.Admin.GetAsync(subscription))["goneAt"]);
    }

    [Fact]
    public async Task Gone_receiverOfManyHorses_isAskedOnce()
    {
        await using var yard = await WebhookYard.StartAsync();
        await using var receiver = await Receiver.StartAsync((http, _) => Receiver.Answer(http, 410));
        var (subscription, _) = await yard.SubscribeAsync(receiver.Url);
        foreach (var name in new[] { "Bramble", "Sorrel", "Teasel" })
            await yard.WeighAsync(await yard.HorseAsync(name));

        await yard.PumpAsync();

        Assert.Single(receiver.Received);
        Assert.Equal(["parked 1 410", "parked 0 -", "parked 0 -"], await yard.StatesAsync(subscription));
    }

    [Theory, InlineData(429), InlineData(503)]
    public async Task Busy_receiver_isLeftAloneAsLongAsItAsks(int status)
    {
        await using var yard = await WebhookYard.StartAsync();
        var busy = true;
        await using var receiver = await Receiver.StartAsync((http, _) =>
        {
            http.Response.Headers.RetryAfter = "120";
            return Receiver.Answer(http, busy ? status : 204);
        });
        var (subscription, _) = await yard.SubscribeAsync(receiver.Url);
        await yard.WeighAsync(await yard.HorseAsync());
        await yard.PumpAsync();
        busy = false;
        await yard.WeighAsync(await yard.HorseAsync("Sorrel"));

        await yard.PassAsync(TimeSpan.FromSeconds(119));
        Assert.Single(receiver.Received);
        await yard.PassAsync(TimeSpan.FromSeconds(1));
        Assert.Equal(["delivered 2 204", "delivered 1 204"], await yard.StatesAsync(subscription));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Events_ofAHorse_arriveInOrderAndWaitForTheBadOne_othersDoNot(StoreKind store)
    {
        await using var yard = await WebhookYard.StartAsync(store);
        var (bramble, sorrel) = (await yard.HorseAsync(), await yard.HorseAsync("Sorrel"));
        var bad = true;
        await using var receiver = await Receiver.StartAsync((http, got) => Receiver.Answer(http, bad && got.HorseId == bramble && got.Sequence.EndsWith('2') ? 500 : 204));
        var (subscription, _) = await yard.SubscribeAsync(receiver.Url);
        for (var i = 0; i < 3; i++)
        {
            await yard.WeighAsync(bramble);
            await yard.WeighAsync(sorrel);
        }
        await yard.PumpAsync();
        Assert.Equal(["delivered 1 204", "delivered 1 204", "pending 1 500", "delivered 1 204", "pending 0 -", "delivered 1 204"], await yard.StatesAsync(subscription));
        Assert.Equal(["000000000001", "000000000002"], OfHorse(receiver, bramble));
        Assert.Equal(["000000000001", "000000000002", "000000000003"], OfHorse(receiver, sorrel));

        bad = false;
        await yard.PassAsync(TimeSpan.FromSeconds(6));

        Assert.Equal(["000000000001", "000000000002", "000000000002", "000000000003"], OfHorse(receiver, bramble));
        Assert.DoesNotContain(await yard.StatesAsync(subscription), s => !s.StartsWith("delivered", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Event_refusedForThreeDays_isParkedAndLetsTheNextOneThrough()
    {
        await using var yard = await WebhookYard.StartAsync();
        var horse = await yard.HorseAsync();
        await using var receiver = await Receiver.StartAsync((http, got) => Receiver.Answer(http, got.Sequence.EndsWith('1') ? 500 : 204));
        var (subscription, _) = await yard.SubscribeAsync(receiver.Url);
        await yard.WeighAsync(horse);
        await yard.WeighAsync(horse);

        for (var hour = 0; hour < 24 * 4; hour++)
            await yard.PassAsync(TimeSpan.FromHours(1));

        Assert.Equal(["parked 10 500", "delivered 1 204"], await yard.StatesAsync(subscription));
        Assert.Equal(["000000000001"], OfHorse(receiver, horse).Take(10).Distinct());
    }

    [Fact]
    public async Task Dead_receiver_isAskedWithOneEventNowAndThenAndTakesAllOnceItIsBack()
    {
        await using var yard = await WebhookYard.StartAsync();
        var dead = true;
        await using var receiver = await Receiver.StartAsync((http, _) => Receiver.Answer(http, dead ? 500 : 204));
        var (subscription, _) = await yard.SubscribeAsync(receiver.Url);
        for (var i = 0; i < 8; i++)
            await yard.WeighAsync(await yard.HorseAsync($"Horse {i}"));
        yard.Service.Clock.Advance(TimeSpan.FromSeconds(1));

        await yard.PumpAsync();
        Assert.Equal(5, receiver.Received.Count);
        Assert.NotNull((await yard.Admin.GetAsync(subscription))["restingUntil"]);
        await yard.PassAsync(TimeSpan.FromSeconds(50));
        Assert.Equal(5, receiver.Received.Count);
        await yard.PassAsync(TimeSpan.FromSeconds(20));
        Assert.Equal(6, receiver.Received.Count);
        Assert.DoesNotContain(receiver.Received[5].Id, receiver.Received.Take(5).Select(r => r.Id));

        dead = false;
        await yard.PassAsync(TimeSpan.FromMinutes(6));
        Assert.Equal(8, (await yard.StatesAsync(subscription)).Count(s => s.StartsWith("delivered", StringComparison.Ordinal)));
        Assert.Null((await yard.Admin.GetAsync(subscription))["restingUntil"]);
    }

    [Fact]
    public async Task Dead_receiver_forThreeDays_hasEverythingOlderParkedAndShown()
    {
        await using var yard = await WebhookYard.StartAsync();
        await using var receiver = await FailingAsync(times: int.MaxValue);
        var (subscription, _) = await yard.SubscribeAsync(receiver.Url);
        for (var i = 0; i < 8; i++)
            await yard.WeighAsync(await yard.HorseAsync($"Horse {i}"));
        for (var quarter = 0; quarter < 4 * 24 * 4; quarter++)
            await yard.PassAsync(TimeSpan.FromMinutes(15));

        Assert.All(await yard.StatesAsync(subscription), state => Assert.StartsWith("parked", state, StringComparison.Ordinal));
        Assert.True(receiver.Received.Count <= 8 * 10, $"It was asked {receiver.Received.Count} times.");
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Claim_ofAKilledInstance_runsOutAndNothingIsLost(StoreKind store)
    {
        await using var yard = await WebhookYard.StartAsync(store);
        await using var receiver = await Receiver.StartAsync();
        var (subscription, _) = await yard.SubscribeAsync(receiver.Url);
        await yard.WeighAsync(await yard.HorseAsync());
        await using (var session = await yard.Service.Database.WriteAsync("another", TestContext.Current.CancellationToken))
        {
            Assert.True(await LaneStore.ClaimAsync(session, subscription.Split('/')[^1], "another", session.Now + Lane.ClaimLasts));
            Assert.False(await LaneStore.ClaimAsync(session, subscription.Split('/')[^1], "a third", session.Now + Lane.ClaimLasts));
            await session.CommitAsync();
        }

        await yard.PassAsync(Lane.ClaimLasts - TimeSpan.FromSeconds(1));
        Assert.Empty(receiver.Received);
        await yard.PassAsync(TimeSpan.FromSeconds(1));
        Assert.Single(receiver.Received);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Pumps_severalAtOnce_sendEverythingOnce(StoreKind store)
    {
        await using var yard = await WebhookYard.StartAsync(store);
        await using var receiver = await Receiver.StartAsync();
        await yard.SubscribeAsync(receiver.Url);
        var horses = new[] { await yard.HorseAsync(), await yard.HorseAsync("Sorrel") };
        for (var i = 0; i < 20; i++)
            await yard.WeighAsync(horses[i % 2]);

        var pumps = Enumerable.Range(0, 4).Select(_ => ActivatorUtilities.CreateInstance<Pump>(yard.Service.Services)).ToList();
        using var patience = new CancellationTokenSource(TimeSpan.FromMinutes(1)); // A try that failed would wait for a clock that stands.
        await Task.WhenAll(pumps.Select(async pump =>
        {
            while (receiver.Received.Count < 20 && !patience.IsCancellationRequested)
            {
                var started = await pump.StartDueAsync(TestContext.Current.CancellationToken);
                // Four that look again and again without a pause leave the receiver no processor.
                await (started.Count > 0 ? Task.WhenAll(started) : Task.Delay(TimeSpan.FromMilliseconds(5), TestContext.Current.CancellationToken));
            }
        }));

        Assert.Equal(20, receiver.Received.Select(r => r.Id).Distinct().Count());
        Assert.Equal(20, receiver.Received.Count);
    }

    [Fact]
    public async Task Watch_afterACommit_sendsAtOnceAndTriesAgainByItself()
    {
        await using var service = await RunningService.StartAsync(settings: new() { Delivery = new() { AllowHosts = "127.0.0.1" } });
        await using var receiver = await FailingAsync(times: 1);
        var yardId = await service.YardAsync();
        await service.Admin.PostAsync("/v1/subscriptions", new { url = receiver.Url, events = new[] { EventTypes.ObservationVetFirst }, yardIds = new[] { yardId } });
        await service.Admin.MakeAsync($"/v1/horses/{await service.HorseAsync(yardId)}/observations", new { observedOn = "2026-11-25", kind = "open-sore", note = "Size of a coin." });
        await receiver.GotAsync(1);

        await Eventually.TrueAsync(
            () =>
            {
                service.Clock.Advance(TimeSpan.FromSeconds(1));
                return Task.FromResult(receiver.Received.Count == 2);
            }, () => "It was not tried again.");
    }

    private static IEnumerable<string> OfHorse(Receiver receiver, string horseId) => receiver.Received.Where(r => r.HorseId == horseId).Select(r => r.Sequence);

    private static Task<Receiver> FailingAsync(int times)
    {
        var left = times;
        return Receiver.StartAsync((http, _) => Receiver.Answer(http, left-- > 0 ? 500 : 204));
    }

    private static Task<Receiver> BadAsync(string temper) => temper switch
    {
        "untrusted" => Receiver.StartAsync((http, _) => Receiver.Answer(http, 204), "https"),
        "redirect" => Receiver.StartAsync((http, _) =>
        {
            http.Response.Headers.Location = string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{http.Connection.LocalPort}/elsewhere");
            return Receiver.Answer(http, 302);
        }),
        "hang" => Receiver.StartAsync((http, _) => Task.Delay(Timeout.Infinite, http.RequestAborted)),
        "drip" => Receiver.StartAsync(DripAsync),
        "endless" => Receiver.StartAsync((http, _) => EndlessAsync(http, 500)),
        "bad-request" => Receiver.StartAsync((http, _) => Receiver.Answer(http, 400, "No such thing.\r\n\u001b[31m")),
        _ => Receiver.StartAsync((http, _) =>
        {
            http.Abort();
            return Task.CompletedTask;
        }),
    };

    private static async Task DripAsync(HttpContext http, ReceivedEvent got)
    {
        http.Response.StatusCode = 500;
        while (!http.RequestAborted.IsCancellationRequested)
        {
            await http.Response.WriteAsync(" ");
            await http.Response.Body.FlushAsync();
            await Task.Delay(200);
        }
    }

    private static async Task EndlessAsync(HttpContext http, int status)
    {
        http.Response.StatusCode = status;
        var text = new string('x', 4096);
        while (!http.RequestAborted.IsCancellationRequested)
            await http.Response.WriteAsync(text);
    }
}
