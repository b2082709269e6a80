using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Audit;

public sealed class AuditTests
{
    [Theory]
    [InlineData(StoreKind.Sqlite)]
    [InlineData(StoreKind.Postgres)]
    public async Task Change_ofAHorse_saysWhoDidItWhenAndWhatItWasBefore(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        var horse = await yard.Admin.GetAsync($"/v1/horses/{yard.HorseId}");
        var manager = await yard.KeyAsync("manage", yard.FitterId);

        (await manager.PutAsync($"/v1/horses/{yard.HorseId}", new { yardId = yard.YardId, name = "Bramble of Larkfield", bornOn = "2015-04-02" }, ("If-Match", horse.Etag))).Should(HttpStatusCode.OK);

        var entries = (await yard.Admin.GetAsync($"/v1/audit?resourceId={yard.HorseId}")).Items;
        Assert.Equal(["create", "change"], entries.Select(entry => Text(entry, "action")));
        var change = entries[1]!;
        Assert.Equal("A fitter", Text(change, "by/personName"));
        Assert.Equal("a test", Text(change, "by/keyName"));
        Assert.Equal(yard.YardId, Text(change, "yardId"));
        Assert.Equal("""[{"member":"name","before":"Bramble","after":"Bramble of Larkfield"}]""", change["changes"]!.ToJsonString());
        Assert.Equal(change.ToJsonString(), (await yard.Admin.GetAsync($"/v1/audit/{change["id"]}")).Body.ToJsonString());
    }

    [Fact]
    public async Task List_byYardKindKeyAndDays_holdsThoseAlone()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var session = await yard.Recorder.MakeAsync(yard.Measurements, yard.Session("2026-03-02T15:00:00Z", [310, 311]));
        var today = yard.Service.Clock.GetUtcNow();

        var measured = (await yard.Admin.GetAsync($"/v1/audit?yardId={yard.YardId}&resource=measurement")).Items;
        Assert.Equal(session, Text(Assert.Single(measured)!, "resourceId"));
        var key = Text(measured[0]!, "by/key");
        Assert.Single((await yard.Admin.GetAsync($"/v1/audit?by={key}")).Items);
        Assert.Single((await yard.Admin.GetAsync($"/v1/audit?by={key}&from={today:yyyy-MM-dd}&to={today:yyyy-MM-dd}")).Items);
        Assert.Empty((await yard.Admin.GetAsync($"/v1/audit?by={key}&from={today.AddDays(1):yyyy-MM-dd}")).Items);
        Assert.Empty((await yard.Admin.GetAsync($"/v1/audit?by={key}&to={today.AddDays(-1):yyyy-MM-dd}")).Items);
        (await yard.Admin.GetAsync("/v1/audit?resource=horses")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
    }

    [Fact]
    public async Task List_ofSettings_saysEachValueThatChanged()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var address = $"/v1/yards/{yard.YardId}/policy";
        async Task PutAsync(object settings) => (await yard.Manager.PutAsync(address, settings, ("If-Match", (await yard.Manager.GetAsync(address)).Etag))).Should(HttpStatusCode.OK);

        await PutAsync(new { riskLimit = 0.3 });
        await PutAsync(new { layOffDays = 21 });

        var changes = (await yard.Admin.GetAsync("/v1/audit?resource=yard-policy")).Items.Select(entry => entry!["changes"]!.ToJsonString());
        Assert.Equal([
            """[{"member":"riskLimit","before":null,"after":"0.3"}]""",
            """[{"member":"riskLimit","before":"0.3","after":null},{"member":"layOffDays","before":null,"after":"21"}]""",
        ], changes);
    }

    [Fact]
    public async Task List_withAKeyOfSomeYards_holdsNothingOfOthers()
    {
        await using var yard = await MeasuringYard.StartAsync();
        await yard.Recorder.MakeAsync(yard.Measurements, yard.Session("2026-03-02T15:00:00Z", [310, 311]));
        var admin = await yard.KeyAsync("admin");

        var seen = (await admin.GetAsync("/v1/audit?limit=500")).Items;
        var all = (await yard.Admin.GetAsync("/v1/audit?limit=500")).Items;

        Assert.NotEmpty(seen);
        Assert.All(seen, entry => Assert.Equal(yard.YardId, Text(entry, "yardId")));
        var other = all.First(entry => Text(entry, "resource") == "yard" && Text(entry, "resourceId") != yard.YardId)!;
        (await admin.GetAsync($"/v1/audit/{other["id"]}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await admin.GetAsync($"/v1/audit?yardId={other["resourceId"]}")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Manager.GetAsync("/v1/audit")).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
    }

    [Fact]
    public async Task List_ofASubscription_holdsNoSecret()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var made = await yard.Admin.PostAsync("/v1/subscriptions", new { url = "https://hooks.example/one" });
        (await yard.Admin.PutAsync($"/v1/subscriptions/{made["id"]}", new { url = "https://hooks.example/two" }, ("If-Match", made.Etag))).Should(HttpStatusCode.OK);

        var entries = await yard.Admin.GetAsync($"/v1/audit?resourceId={made["id"]}");

        Assert.Contains("https://hooks.example/two", entries.Items[1]!["changes"]!.ToJsonString(), StringComparison.Ordinal);
        Assert.DoesNotContain("whsec_", entries.Text, StringComparison.Ordinal);
    }

    private static string? Text(JsonNode? entry, string path) => path.Split('/').Aggregate(entry, (node, member) => node![member])?.ToString();
}
