using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Demo;
using BackTracker.Service.Tests.Harness;
using BackTracker.Service.Tests.OpenApi;
using BackTracker.Service.Tests.Priors;

namespace BackTracker.Service.Tests.Imports;

[Collection(DemoReaders.Name)]
public sealed class YardExportTests(FilledDemo demo)
{
    private static readonly Settings LoopbackAllowed = new() { Delivery = new() { AllowHosts = "127.0.0.1" } };

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Export_ofTheDemo_importedIntoAnEmptyService_givesTheSame(StoreKind kind)
    {
        var yardId = (await demo.Api.GetAsync("/v1/yards")).Items[0]!["id"]!.GetValue<string>();
        var export = await demo.Api.ExportAsync(yardId);
        await using var other = await RunningService.StartAsync(kind);

        var reply = (await other.ImportAsync(Files.Ndjson, export)).Should(HttpStatusCode.Created);
        await other.SettledAsync(120);

        Same(export, await other.Admin.ExportAsync(yardId));
        Assert.Equal(export.Split('\n').Length - 1, reply["records"]!.AsObject().Sum(r => r.Value!.GetValue<int>()));
        Assert.Equal((await demo.Api.GetAsync($"/v1/yards/{yardId}/board")).Text, (await other.Admin.GetAsync($"/v1/yards/{yardId}/board")).Text);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Export_ofOneOfEverything_importedIntoAnEmptyService_givesTheSame(StoreKind kind)
    {
        await using var service = await RunningService.StartAsync(settings: LoopbackAllowed);
        var yard = await Yardful.SettleAsync(service);
        await RouteWorld.SettleAsync(service, yard);
        await MoveAndMendAsync(service, yard);
        await service.SettledAsync();
        var export = await service.Admin.ExportAsync(yard.YardId);
        await using var other = await RunningService.StartAsync(kind);
        await LearnedHerd.LearnedAsync(other); // Where other horses teach other things, a horse is assessed anew.

        (await other.ImportAsync(Files.Ndjson, export)).Should(HttpStatusCode.Created);
        await other.SettledAsync();

        Same(export, await other.Admin.ExportAsync(yard.YardId));
        var kinds = export.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonNode.Parse(line)!["kind"]!.GetValue<string>()).Distinct();
        Assert.Empty(Storage.Exports.RecordKinds.All.Select(k => k.Name).Except(kinds));
        foreach (var secret in new[] { "secret", "bt_", "hook", "token", "isla@larkfield.test" })
            Assert.DoesNotContain(secret, export, StringComparison.Ordinal);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Import_ofAnExport_whereItIsHeld_leavesAloneWhatIsTheSameAndRefusesWhatIsNot(StoreKind kind)
    {
        await using var service = await RunningService.StartAsync(kind);
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(318);
        await service.SettledAsync();
        var export = await service.Admin.ExportAsync(yard.YardId);
        var before = await StoreContent.ReadAsync(service);

        var again = (await service.ImportAsync(Files.Ndjson, export, "?dryRun=true")).Should(HttpStatusCode.OK);
        var altered = await service.ImportAsync(Files.Ndjson, export.Replace("\"name\":\"Bramble\"", "\"name\":\"Nettle\"", StringComparison.Ordinal), "?dryRun=true");

        Assert.Equal((0, export.Split('\n').Length - 1), (again["records"]!.AsObject().Sum(r => r.Value!.GetValue<int>()), again["alreadyThere"]!.GetValue<int>()));
        altered.ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "import-refused");
        Assert.Contains("/name", altered["errors"]!.AsObject().Single().Key, StringComparison.Ordinal);
        (await StoreContent.ReadAsync(service)).ShouldEqual(before);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Import_ofRecordsWrittenByHand_isHeldToTheRulesOfTheirRoutes(StoreKind kind)
    {
        await using var service = await RunningService.StartAsync(kind, role: ServiceRole.Api);
        var (yard, elsewhere) = (await Yardful.SettleAsync(service), await Yardful.SettleAsync(service, "Mill Bottom"));
        async Task<string> KeyAsync(string scope) => (await service.Admin.PostAsync("/v1/keys", new { name = scope, scopes = new[] { scope }, yardIds = new[] { yard.YardId } }))["secret"]!.GetValue<string>();
        var (record, manage) = (await KeyAsync("record"), await KeyAsync("manage"));
        Task<Reply> ImportAsync(string key, string text) => Files.ImportAsync(service.Address, key, Files.Ndjson, Encoding.UTF8.GetBytes(text));
        var measured = $$"""{"kind":"measurement","horseId":"{{yard.HorseId}}","measuredAt":"2026-03-14T09:30:00Z","measuredBy":"{{yard.ManagerId}}","method":"tape","widths":[{"station":"T13","depthMm":150,"widthMm":310}]}""";
        var horse = $$"""{"kind":"horse","yardId":"{{yard.YardId}}","name":"Nettle"}""";

        (await ImportAsync(record, measured + "\n")).Should(HttpStatusCode.Created);
        (await ImportAsync(manage, horse)).Should(HttpStatusCode.Created);

        Assert.Contains("exercise-unknown", (await service.Admin.GetAsync($"/v1/horses/{yard.HorseId}/measurements")).Text, StringComparison.Ordinal);
        foreach (var (key, text, place, words) in new[]
        {
            (record, horse, "/lines/1/kind", "needs the scope `manage`"),
            (record, measured.Replace("310", "31", StringComparison.Ordinal), "/lines/1/widths/0/widthMm", "did you mean"),
            (record, measured.Replace("method", "methood", StringComparison.Ordinal), "/lines/1/methood", "no such member"),
            (record, measured.Replace(yard.HorseId, elsewhere.HorseId, StringComparison.Ordinal), "/lines/1/horseId", "nor among what this key sees"),
            (record, measured.Replace("\"method\"", "\"createdAt\":\"2020-01-01T00:00:00Z\",\"method\"", StringComparison.Ordinal), "/lines/1", "Only an administrator's key"),
            (manage, horse.Replace("\"name\"", $"\"id\":\"{elsewhere.HorseId}\",\"name\"", StringComparison.Ordinal), "/lines/1/id", "outside the yards of this key"),
            (manage, horse.Replace("\"name\"", "\"microchip\":\"12\",\"name\"", StringComparison.Ordinal), "/lines/1/microchip", "15 digits"),
            (manage, horse.Replace("\"name\"", "\"colour\":\"bay\",\"name\"", StringComparison.Ordinal), "/lines/1/colour", "no such member"),
            (manage, horse + "\n{\"kind\":\"horse\"\n", "/lines/2", "no JSON object"),
            (manage, "{\"kind\":\"key\"}", "/lines/1/kind", "one of: yard"),
            (manage, horse.Replace("Nettle", new string('x', 10 << 20), StringComparison.Ordinal) + "\n" + horse, "/lines/1", "longer than 4 MiB"),
        })
        {
            var refused = (await ImportAsync(key, text)).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "import-refused");
            Assert.True(refused["errors"]![place] is { } found && found[0]!.GetValue<string>().Contains(words, StringComparison.Ordinal), $"{place}: {refused.Text[..Math.Min(600, refused.Text.Length)]}");
        }
    }

    /// <summary>What a yard's records mention beyond the yard, and what was taken back.</summary>
    private static async Task MoveAndMendAsync(RunningService service, Yardful yard)
    {
        var api = service.Admin;
        var other = await Yardful.SettleAsync(service, "Mill Bottom");
        var measured = await other.MeasureAsync(320);
        var today = yard.Today.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);
        (await api.PostAsync($"/v1/horses/{other.HorseId}/moves", new { on = today, toYardId = yard.YardId })).Should(HttpStatusCode.Created);
        (await api.PostAsync($"/v1/horses/{other.HorseId}/measurements", new { measuredAt = service.Clock.GetUtcNow(), measuredBy = yard.ManagerId, method = "tape", exercise = "before", weightKg = 500, corrects = measured })).Should(HttpStatusCode.Created);
        var second = await yard.MeasureAsync(322);
        (await api.PostAsync($"/v1/measurements/{second}/void", new { reason = "The wrong horse." })).Should(HttpStatusCode.OK);
        (await api.SendAsync(HttpMethod.Put, $"/v1/yards/{yard.YardId}/policy", new { riskLimit = .2 }, ("If-Match", "*"))).Should(HttpStatusCode.OK);
        (await api.SendAsync(HttpMethod.Put, $"/v1/pairings/{yard.PairingId}/policy", new { riskLimit = .15 }, ("If-Match", "*"))).Should(HttpStatusCode.OK);
    }

    private static void Same(string expected, string actual)
    {
        var (before, after) = (expected.Split('\n'), actual.Split('\n'));
        for (var i = 0; i < Math.Min(before.Length, after.Length); i++)
            Assert.True(before[i] == after[i], $"line {i + 1}:\n{before[i]}\nbecame\n{after[i]}");
        Assert.Equal(expected.Length, actual.Length);
    }
}
