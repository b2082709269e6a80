using System.Net;
using System.Security.Cryptography;
using System.Text;
using BackTracker.Service.Tests.Delivery;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage;
using BackTracker.Storage.Messages;
using EventTypes = BackTracker.Engine.Alerts.EventTypes;

namespace BackTracker.Service.Tests.Subscriptions;

public sealed class SubscriptionTests
{
    private const string Hook = "https://hooks.example/backtracker";

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Make_webhook_showsItsSecretOnceAndStoresItNowhereInClear(StoreKind store)
    {
        await using var yard = await WebhookYard.StartAsync(store);
        var body = new { url = Hook, events = new[] { EventTypes.CheckDue }, yardIds = new[] { yard.YardId }, personId = yard.PersonId };

        var made = (await yard.Admin.PostAsync("/v1/subscriptions", body, ("Idempotency-Key", "once"))).Should(HttpStatusCode.Created);
        var again = (await yard.Admin.PostAsync("/v1/subscriptions", body, ("Idempotency-Key", "once"))).Should(HttpStatusCode.Created);
        var rotated = (await yard.Admin.PostAsync($"/v1/subscriptions/{made["id"]}/rotate", new { }, ("Idempotency-Key", "twice"), ("If-Match", "*"))).Should(HttpStatusCode.OK);

        var secrets = new[] { made, rotated }.Select(r => r["secret"]!.GetValue<string>()).ToList();
        Assert.All(secrets, secret => Assert.Equal(32, Convert.FromBase64String(secret["whsec_".Length..]).Length));
        Assert.NotEqual(secrets[0], secrets[1]);
        Assert.Equal((made["id"]!.GetValue<string>(), null), (again["id"]!.GetValue<string>(), again["secret"]));
        var read = (await yard.Admin.GetAsync(made.Headers.Location!.OriginalString)).Should(HttpStatusCode.OK);
        Assert.Equal((Hook, "webhook", yard.PersonId), (read["url"]!.GetValue<string>(), read["channel"]!.GetValue<string>(), read["personId"]!.GetValue<string>()));
        Assert.Null((await yard.Admin.PostAsync($"/v1/subscriptions/{made["id"]}/rotate", new { }, ("Idempotency-Key", "twice"), ("If-Match", "*")))["secret"]);
        var stored = await StoreContent.TextAsync(yard.Service);
        Assert.Contains(Hook, stored, StringComparison.Ordinal);
        Assert.All(secrets, secret => Assert.DoesNotContain(secret["whsec_".Length..], stored, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("""{"yardIds":["YARD"]}""", "/url")]
    [InlineData("""{"url":"https://hooks.example/","email":"isla@example.org","yardIds":["YARD"]}""", "/email")]
    [InlineData("""{"url":"http://hooks.example/","yardIds":["YARD"]}""", "/url")]
    [InlineData("""{"url":"https://10.0.0.1/","yardIds":["YARD"]}""", "/url")]
    [InlineData("""{"email":"isla at example.org","yardIds":["YARD"]}""", "/email")]
    [InlineData("""{"email":"isla@example.org","yardIds":["YARD"],"events":["backtracker.check.due.v1"]}""", "/events/0")]
    [InlineData("""{"url":"https://hooks.example/","yardIds":["YARD"],"events":["backtracker.check.due.v1","check.due"]}""", "/events/1")]
    [InlineData("""{"url":"https://hooks.example/","yardIds":["YARD"],"personId":"0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69"}""", "/personId")]
    public async Task Make_whatCannotBe_isRefusedAtTheMember(string body, string pointer)
    {
        await using var yard = await WebhookYard.StartAsync();

        (await yard.Admin.PostTextAsync("/v1/subscriptions", body, ("YARD", yard.YardId))).ShouldPoint(422, "impossible", pointer);
        Assert.Empty((await yard.Admin.GetAsync("/v1/subscriptions")).Items);
    }

    [Fact]
    public async Task Subscription_ofSeveralYards_isThereOnlyForKeysThatReachThemAll()
    {
        await using var yard = await WebhookYard.StartAsync();
        var other = await yard.Service.YardAsync("Mill Bottom");
        var here = await yard.Service.ClientAsync("manage", yard.YardId);
        var both = await yard.Service.ClientAsync("manage", yard.YardId, other);
        var ofBoth = await both.MakeAsync("/v1/subscriptions", new { url = Hook, yardIds = new[] { yard.YardId, other } });
        var ofAll = await yard.Admin.MakeAsync("/v1/subscriptions", new { url = Hook });

        foreach (var id in new[] { ofBoth, ofAll })
        {
            (await here.GetAsync($"/v1/subscriptions/{id}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
            (await here.PostAsync($"/v1/subscriptions/{id}/rotate")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
            (await here.GetAsync($"/v1/subscriptions/{id}/deliveries")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        }
        Assert.Empty((await here.GetAsync("/v1/subscriptions")).Items);
        Assert.Equal([ofBoth], (await both.GetAsync("/v1/subscriptions")).Texts("id"));
        Assert.Equal([ofBoth, ofAll], (await yard.Admin.GetAsync("/v1/subscriptions")).Texts("id"));
        (await here.PostAsync("/v1/subscriptions", new { url = Hook })).ShouldPoint(422, "impossible", "/yardIds");
        (await here.PostAsync("/v1/subscriptions", new { url = Hook, yardIds = new[] { other } })).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await (await yard.Service.ClientAsync("read", yard.YardId)).GetAsync("/v1/subscriptions")).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
    }

    [Fact]
    public async Task Subscription_toSomeEventsOfAYard_isToldOfThoseAlone()
    {
        await using var yard = await WebhookYard.StartAsync();
        await using var vet = await Receiver.StartAsync();
        await using var elsewhere = await Receiver.StartAsync();
        await using var everything = await Receiver.StartAsync();
        await yard.SubscribeAsync(vet.Url, EventTypes.ObservationVetFirst);
        await yard.Admin.MakeAsync("/v1/subscriptions", new { url = elsewhere.Url, yardIds = new[] { await yard.Service.YardAsync("Mill Bottom") } });
        await yard.Admin.MakeAsync("/v1/subscriptions", new { url = everything.Url });
        var horse = await yard.HorseAsync();

        await yard.WeighAsync(horse);
        await yard.Admin.MakeAsync($"/v1/horses/{horse}/observations", new { observedOn = "2026-11-25", kind = "open-sore", note = "Size of a coin." });
        await yard.Admin.MakeAsync($"/v1/horses/{horse}/observations", new { observedOn = "2026-11-25", kind = "behaviour", note = "Fidgets." });
        await yard.PumpAsync();

        Assert.Equal([EventTypes.ObservationVetFirst], vet.Received.Select(r => r.Type));
        Assert.Empty(elsewhere.Received);
        Assert.Equal([EventTypes.MeasurementRecorded, EventTypes.ObservationVetFirst], everything.Received.Select(r => r.Type));
    }

    [Fact]
    public async Task Change_movesWhatIsStillToBeSent_andNeedsTheVersion()
    {
        await using var yard = await WebhookYard.StartAsync();
        await using var receiver = await Receiver.StartAsync();
        var (path, _) = await yard.SubscribeAsync(Receiver.NobodyAt());
        await yard.WeighAsync(await yard.HorseAsync());
        await yard.PumpAsync();
        var body = new { url = receiver.Url, events = new[] { EventTypes.CheckDue }, yardIds = new[] { yard.YardId } };

        (await yard.Admin.PutAsync(path, body)).ShouldBeProblem(HttpStatusCode.PreconditionRequired, "if-match-missing");
        var etag = (await yard.Admin.GetAsync(path)).Etag;
        var changed = (await yard.Admin.PutAsync(path, body, ("If-Match", etag))).Should(HttpStatusCode.OK);
        (await yard.Admin.PutAsync(path, body, ("If-Match", etag))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");
        (await yard.Admin.PutAsync(path, new { email = "isla@example.org", yardIds = new[] { yard.YardId } }, ("If-Match", changed.Etag))).ShouldPoint(422, "impossible", "/email");
        await yard.PassAsync(TimeSpan.FromSeconds(6));

        Assert.Equal([EventTypes.CheckDue], changed["events"]!.AsArray().Select(e => e!.GetValue<string>()));
        Assert.Single(receiver.Received);
    }

    [Fact]
    public async Task End_sendsNothingMoreAndIsNotListed()
    {
        await using var yard = await WebhookYard.StartAsync();
        await using var receiver = await Receiver.StartAsync();
        var (path, _) = await yard.SubscribeAsync(receiver.Url);
        var horse = await yard.HorseAsync();
        await yard.WeighAsync(horse);

        (await yard.Admin.SendAsync(HttpMethod.Delete, path, null)).Should(HttpStatusCode.NoContent);
        await yard.WeighAsync(horse);
        await yard.PumpAsync();

        Assert.Empty(receiver.Received);
        Assert.Equal(["parked 0 -"], await yard.StatesAsync(path));
        Assert.Empty((await yard.Admin.GetAsync("/v1/subscriptions")).Items);
        Assert.NotNull((await yard.Admin.GetAsync(path))["endedAt"]);
        (await yard.Admin.PostAsync(path + "/test")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        (await yard.Admin.SendAsync(HttpMethod.Delete, path, null)).Should(HttpStatusCode.NoContent);
    }

    [Fact]
    public async Task Test_sendsASignedEventThatCanBeLookedUp()
    {
        await using var yard = await WebhookYard.StartAsync();
        await using var receiver = await Receiver.StartAsync();
        var (path, secret) = await yard.SubscribeAsync(receiver.Url, EventTypes.CheckDue);

        var made = (await yard.Admin.PostAsync(path + "/test")).Should(HttpStatusCode.Created);
        await yard.PumpAsync();

        var got = Assert.Single(receiver.Received);
        Assert.Equal((EventTypes.SubscriptionTest, made["eventId"]!.GetValue<string>()), (got.Type, got.Id));
        Assert.StartsWith("application/cloudevents+json", got.Headers["Content-Type"], StringComparison.Ordinal);
        Assert.Equal([Signature(secret, got)], got.Headers["webhook-signature"].Split(' '));
        Assert.Equal("delivered", (await yard.Admin.GetAsync(made.Headers.Location!.OriginalString)).Should(HttpStatusCode.OK)["state"]!.GetValue<string>());
        (await yard.Admin.GetAsync($"{path}/deliveries/{yard.YardId}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
    }

    [Fact]
    public async Task Rotate_hasBothSecretsSignForADay()
    {
        await using var yard = await WebhookYard.StartAsync();
        await using var receiver = await Receiver.StartAsync();
        var (path, old) = await yard.SubscribeAsync(receiver.Url);
        (await yard.Admin.PostAsync(path + "/rotate")).ShouldBeProblem(HttpStatusCode.PreconditionRequired, "if-match-missing");
        var rotated = (await yard.Admin.PostAsync(path + "/rotate", null, ("If-Match", "\"1\""))).Should(HttpStatusCode.OK)["secret"]!.GetValue<string>();
        (await yard.Admin.PostAsync(path + "/rotate", null, ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict"); // The old one is still relied on.

        foreach (var hours in new[] { 0, 23, 2 })
        {
            await yard.PassAsync(TimeSpan.FromHours(hours));
            await yard.Admin.PostAsync(path + "/test");
            await yard.PumpAsync();
        }

        Assert.Equal(
            [2, 2, 1],
            receiver.Received.Select(got => got.Headers["webhook-signature"].Split(' ').Intersect([Signature(rotated, got), Signature(old, got)]).Count()));
        Assert.Equal(Signature(rotated, receiver.Received[2]), receiver.Received[2].Headers["webhook-signature"]);
        (await yard.Admin.PostAsync(path + "/rotate", null, ("If-Match", "*"))).Should(HttpStatusCode.OK);
    }

    [Fact]
    public async Task Deliveries_areListedByStateInPages()
    {
        await using var yard = await WebhookYard.StartAsync();
        var (path, _) = await yard.SubscribeAsync(Receiver.NobodyAt());
        var horse = await yard.HorseAsync();
        for (var i = 0; i < 3; i++)
            await yard.WeighAsync(horse);

        var first = (await yard.Admin.GetAsync($"{path}/deliveries?state=pending&limit=2")).Should(HttpStatusCode.OK);
        var second = await yard.Admin.GetAsync(first["next"]!.GetValue<string>());

        Assert.Equal(["000000000001", "000000000002", "000000000003"], first.Texts("sequence").Concat(second.Texts("sequence")));
        Assert.Empty((await yard.Admin.GetAsync($"{path}/deliveries?state=parked")).Items);
        (await yard.Admin.GetAsync($"{path}/deliveries?state=lost")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        (await yard.Admin.GetAsync($"{path}/deliveries?kind=x")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
    }

    [Fact]
    public async Task Make_mailWhereNoneCanBeSent_isRefusedAndLeavesNothing()
    {
        await using var yard = await WebhookYard.StartAsync();

        var refused = await yard.Admin.PostAsync("/v1/subscriptions", new { email = "isla@example.org", yardIds = new[] { yard.YardId } });

        refused.ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        Assert.Contains("Mail:Host", refused["detail"]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.Empty((await yard.Admin.GetAsync("/v1/subscriptions")).Items);
    }

    [Fact]
    public async Task Make_mail_asksTheAddressFirst()
    {
        await using var yard = await WebhookYard.StartAsync(mail: PostOffice.SettingsFor(25));
        var made = (await yard.Admin.PostAsync("/v1/subscriptions", new { email = "isla@example.org", yardIds = new[] { yard.YardId } })).Should(HttpStatusCode.Created);
        await using var session = await yard.Service.Database.ReadAsync(TestContext.Current.CancellationToken);

        var letter = Assert.Single((await MessageStore.ListAsync(session, made["id"]!.GetValue<string>(), new Page("", 500))).Items);
        Assert.Equal(("confirm", null), (letter.Occasion, letter.YardId));
        var word = System.Text.Json.Nodes.JsonNode.Parse(letter.Body)!["link"]!.GetValue<string>()["/confirm-address?word=".Length..];
        var hash = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(word)));
        Assert.Equal(hash, (await Storage.Subscriptions.SubscriptionStore.FindAsync(session, Storage.Sight.All, letter.SubscriptionId))!.ConfirmHash);
        Assert.Equal((null, "mail", null), (made["secret"], made["subscription"]!["channel"]!.GetValue<string>(), made["subscription"]!["confirmedAt"]));
        Assert.DoesNotContain(word, made.Text, StringComparison.Ordinal);
        foreach (var action in new[] { "test", "rotate" })
            (await yard.Admin.PostAsync($"/v1/subscriptions/{made["id"]}/{action}")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
    }

    [Fact]
    public async Task Make_mailTwiceForAYard_isRefused_andSoIsAskingAgainAndAgain()
    {
        await using var yard = await WebhookYard.StartAsync(mail: PostOffice.SettingsFor(25));
        var other = await yard.Service.YardAsync("Mill Bottom");
        object Mail(params string[] yardIds) => new { email = "Isla@example.org", yardIds };
        var first = await yard.Admin.MakeAsync("/v1/subscriptions", Mail(yard.YardId));

        foreach (var body in new[] { new { email = "isla@Example.org", yardIds = new[] { yard.YardId, other } }, new { email = "isla@example.org", yardIds = Array.Empty<string>() } })
            Assert.Contains(first, (await yard.Admin.PostAsync("/v1/subscriptions", body)).ShouldBeProblem(HttpStatusCode.Conflict, "conflict")["detail"]!.GetValue<string>(), StringComparison.Ordinal);
        var second = await yard.Admin.MakeAsync("/v1/subscriptions", Mail(other));
        (await yard.Admin.PutAsync($"/v1/subscriptions/{second}", Mail(other, yard.YardId), ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        (await yard.Admin.PutAsync($"/v1/subscriptions/{second}", Mail(other), ("If-Match", "*"))).Should(HttpStatusCode.OK);

        await yard.Admin.SendAsync(HttpMethod.Delete, $"/v1/subscriptions/{second}", null);
        var third = await yard.Admin.MakeAsync("/v1/subscriptions", Mail(other));
        await yard.Admin.SendAsync(HttpMethod.Delete, $"/v1/subscriptions/{third}", null);
        (await yard.Admin.PostAsync("/v1/subscriptions", Mail(other))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        yard.Service.Clock.Advance(TimeSpan.FromHours(25));
        (await yard.Admin.PostAsync("/v1/subscriptions", Mail(other))).Should(HttpStatusCode.Created);
    }

    /// <summary>The signature by the Standard Webhooks specification, worked out here once more.</summary>
    private static string Signature(string secret, ReceivedEvent got)
    {
        using var mac = new HMACSHA256(Convert.FromBase64String(secret["whsec_".Length..]));
        return "v1," + Convert.ToBase64String(mac.ComputeHash(Encoding.UTF8.GetBytes($"{got.Id}.{got.Headers["webhook-timestamp"]}.{got.Body}")));
    }
}
