using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Alerts;

public sealed class AlertTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Finding_foundAHundredTimes_isOneAlertAndOneLetter(StoreKind store)
    {
        await using var service = await AlertYard.StartAsync(store);
        var yard = await AlertYard.SettleAsync(service);
        var ada = await yard.SubscribeAsync(yard.ManagerId);

        for (var i = 0; i < 100; i++)
            await yard.SeeAsync("rub");

        var alert = await yard.AlertAsync("saddle-sign");
        Assert.Equal(("raised", "now", "rub", "2026-11-25"), (alert["state"]!.GetValue<string>(), alert["urgency"]!.GetValue<string>(), alert["measure"]!.GetValue<string>(), alert["raisedOn"]!.GetValue<string>()));
        var letter = Assert.Single(await yard.LettersAsync(ada));
        Assert.Equal("at-once", letter.Occasion);
        Assert.Equal(["raised saddle-sign"], letter.Lines);
        Assert.Equal(["told: new, at once: before the next ride"], await yard.DecisionsAsync(alert, ada));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Assessment_ofTheSameFactsOnTheSameDay_writesNothingAtAll(StoreKind store)
    {
        await using var service = await AlertYard.StartAsync(store);
        var yard = await AlertYard.SettleAsync(service);
        await yard.SubscribeAsync(yard.ManagerId);
        await yard.SubscribeAsync(yard.FitterId);
        await yard.SeeAsync("rub");
        await yard.SeeAsync("open-sore");
        var before = await StoreContent.ReadAsync(service);

        await service.QueueAsync(yard.HorseId);
        await yard.AssessAsync();

        (await StoreContent.ReadAsync(service)).ShouldEqual(before);
    }

    [Fact]
    public async Task Alert_changedAndSettled_isToldOnceEachToThoseWhoWereTold()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var ada = await yard.SubscribeAsync(yard.ManagerId);
        await yard.SeeAsync("rub");
        var late = await yard.SubscribeAsync(yard.OwnerId);

        await yard.MoveCheckAsync("fit", "complete", new { on = yard.Day(0), by = yard.FitterId, findings = new[] { "Rubs no more." } });
        await yard.LiveAsync(TimeSpan.FromDays(2));

        Assert.Equal(["raised saddle-sign", "settled saddle-sign"], (await yard.LettersAsync(ada)).SelectMany(letter => letter.Lines));
        Assert.Equal("Sign under saddle: Fit check done on 25 November 2026.", (await yard.LettersAsync(ada))[1].Body["lines"]![0]!["text"]!.GetValue<string>());
        Assert.Empty(await yard.LettersAsync(late));
        var alert = await yard.AlertAsync("saddle-sign");
        Assert.Equal("settled", alert["state"]!.GetValue<string>());
        Assert.Equal(["not-told: settled before they were told of it"], await yard.DecisionsAsync(alert, late));
    }

    [Fact]
    public async Task Horse_sold_settlesAllItsAlertsWithThatReason()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        await yard.SeeAsync("rub");
        await yard.SeeAsync("open-sore");

        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/moves", new { on = yard.Day(0), status = "sold" });
        await yard.AssessAsync();

        Assert.Empty((await service.Admin.GetAsync("/v1/alerts?state=raised")).Items);
        Assert.All((await service.Admin.GetAsync("/v1/alerts?state=settled")).Texts("settledWhy"), why => Assert.Equal("Bramble is sold.", why));
    }

    [Fact]
    public async Task Horse_inAnotherYard_takesItsAlertsAlongAndLeavesTheOldOnesBehind()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var ada = await yard.SubscribeAsync(yard.ManagerId);
        var there = await service.YardAsync("Mill Bottom", "UTC");
        var desk = await yard.SubscribeAsync([there], null);
        await yard.SeeAsync("open-sore");

        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/moves", new { on = yard.Day(0), toYardId = there });
        await yard.AssessAsync();

        Assert.Equal(["raised vet-first", "settled vet-first"], (await yard.LettersAsync(ada)).SelectMany(letter => letter.Lines));
        Assert.Equal(["raised vet-first"], (await yard.LettersAsync(desk)).SelectMany(letter => letter.Lines));
        Assert.Equal(there, Assert.Single((await service.Admin.GetAsync("/v1/alerts?state=raised")).Texts("yardId")));
    }

    [Fact]
    public async Task Acknowledge_byAPerson_keepsWhoAndWhat_andIsRefusedTwice()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        await yard.SeeAsync("rub");
        var alert = await yard.AlertAsync("saddle-sign");
        var made = (await service.Admin.PostAsync("/v1/keys", new { name = "Ada", scopes = new[] { "record" }, yardIds = new[] { yard.YardId }, personId = yard.ManagerId })).Should(HttpStatusCode.Created);
        var ada = service.ClientFor(made["secret"]!.GetValue<string>());

        var done = (await yard.AcknowledgeAsync(alert, ada)).Should(HttpStatusCode.OK);

        Assert.Equal(("acknowledged", yard.ManagerId, "Seen to."), (done["state"]!.GetValue<string>(), done["acknowledgedBy"]!.GetValue<string>(), done["acknowledgedNote"]!.GetValue<string>()));
        (await yard.AcknowledgeAsync(alert)).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        (await service.Admin.PostAsync($"/v1/alerts/{alert["id"]}/acknowledge")).ShouldBeProblem(HttpStatusCode.PreconditionRequired, "if-match-missing");
        (await service.Admin.PostAsync($"/v1/alerts/{alert["id"]}/acknowledge", null, ("If-Match", "\"1\""))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");
    }

    [Fact]
    public async Task KeyOfAnotherYard_seesNothing()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        await yard.SeeAsync("rub");
        await service.Admin.MakeAsync("/v1/quiet-periods", new { yardId = yard.YardId, until = yard.Day(3), reason = "Closed." });
        var stranger = await service.ClientAsync("manage", await service.YardAsync("Valley"));

        Assert.Empty((await stranger.GetAsync("/v1/alerts")).Items);
        Assert.Empty((await stranger.GetAsync("/v1/quiet-periods")).Items);
        (await stranger.GetAsync($"/v1/alerts?yardId={yard.YardId}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.PostAsync("/v1/quiet-periods", new { horseId = yard.HorseId, until = yard.Day(3), reason = "Away." })).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
    }

    [Theory]
    [InlineData("""{"until":"2026-11-30","reason":"Away."}""", "/horseId")]
    [InlineData("""{"horseId":"H","yardId":"Y","until":"2026-11-30","reason":"Away."}""", "/horseId")]
    [InlineData("""{"yardId":"Y","reason":"Away."}""", "/until")]
    [InlineData("""{"yardId":"Y","until":"2026-11-30"}""", "/reason")]
    [InlineData("""{"yardId":"Y","until":"2026-11-24","reason":"Away."}""", "/until")]
    [InlineData("""{"yardId":"Y","until":"2029-01-01","reason":"Away."}""", "/until")]
    [InlineData("""{"yardId":"Y","until":"2026-11-30","reason":"Away.","cause":"vet-first"}""", "/cause")]
    public async Task QuietPeriod_thatCannotBe_isRefusedAtTheMember(string body, string pointer)
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);

        (await service.Admin.PostTextAsync("/v1/quiet-periods", body, ("H", yard.HorseId), ("Y", yard.YardId))).ShouldPoint(422, "impossible", pointer);
    }

    [Fact]
    public async Task Board_listsOpenAlerts_theMostUrgentFirst()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        await yard.SeeAsync("rub");
        await yard.SeeAsync("open-sore");
        await yard.AcknowledgeAsync(await yard.AlertAsync("saddle-sign"));

        var alerts = (await service.Admin.GetAsync($"/v1/yards/{yard.YardId}/board"))["alerts"]!.AsArray();

        Assert.Equal([("now", false), ("now", true)], alerts.Select(a => (a!["urgency"]!.GetValue<string>(), a["acknowledged"]!.GetValue<bool>())));
        Assert.StartsWith("Open sore seen on 25 November 2026", alerts[0]!["text"]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.Equal(("Bramble", "2026-11-25"), (alerts[0]!["horse"]!["name"]!.GetValue<string>(), alerts[0]!["raisedOn"]!.GetValue<string>()));
    }
}
