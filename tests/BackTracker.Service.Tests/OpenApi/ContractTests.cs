using System.Net;
using BackTracker.Service.Delivery;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Commissions;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;
using EventTypes = BackTracker.Engine.Alerts.EventTypes;

namespace BackTracker.Service.Tests.OpenApi;

/// <summary>Answers of the running service, held against the committed document.</summary>
public sealed class ContractTests
{
    [Fact]
    public async Task EveryOperation_asItAnswersAndAsItRefuses_keepsTheDocument()
    {
        await using var service = await RunningService.StartAsync(settings: RouteWorld.Settings);
        service.Contract = new ContractWatch();
        var yard = await Yardful.SettleAsync(service);
        var world = await RouteWorld.SettleAsync(service, yard);
        var document = await DocumentTests.CommittedAsync();
        var nobody = service.ClientFor("bt_nobody");
        var reader = await yard.KeyOfAsync(null, "read");

        foreach (var (name, _) in DocumentTests.Operations(document).OrderBy(o => !o.Name.StartsWith("GET", StringComparison.Ordinal)))
        {
            var (method, path) = (name.Split(' ')[0], name.Split(' ')[1]);
            await world.SendAsync(nobody, method, path);
            await world.SendAsync(reader, method, path);
            await world.SendAsync(service.Admin, method, path);
            await service.Admin.SendAsync(new HttpMethod(method), path, method == "GET" ? null : "{\"x\":");
            await service.Admin.SendAsync(new HttpMethod(method), path + "?x=1", method == "GET" ? null : "{\"x\":1}");
        }

        service.Contract.ShouldHaveFoundNothing(seenAtLeast: 450);
    }

    [Fact]
    public async Task Events_ofEveryKindThatComes_keepTheDocument()
    {
        await using var service = await RunningService.StartAsync(settings: RouteWorld.Settings);
        await using var receiver = await Receiver.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await (await CommissioningYard.InAsync(service, yard)).OrderAsync(290, 300);
        var hook = await service.Admin.MakeAsync("/v1/subscriptions", new { url = receiver.Url, yardIds = new[] { yard.YardId } });
        await service.Admin.MakeAsync($"/v1/subscriptions/{hook}/test", new { });
        for (var width = 318; width < 350; width += 5)
        {
            await yard.MeasureAsync(width);
            await service.PassDaysAsync(28);
        }
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = yard.Today.ToString("O"), kind = "open-sore", note = "Size of a coin." });
        string[] wanted = [EventTypes.SubscriptionTest, EventTypes.MeasurementRecorded, EventTypes.CheckOpened, EventTypes.FitOutOfTolerance, EventTypes.CommissionAtRisk, EventTypes.ObservationVetFirst];
        var pump = service.Services.GetRequiredService<Pump>();
        await Eventually.TrueAsync(async () =>
        {
            await Task.WhenAll(await pump.StartDueAsync(TestContext.Current.CancellationToken));
            return wanted.All(type => receiver.Received.Any(r => r.Type == type));
        }, () => string.Join(", ", receiver.Received.Select(r => r.Type).Distinct()));

        var document = await DocumentTests.CommittedAsync();
        var checker = new ContractChecker(document.ToJsonString());
        foreach (var got in receiver.Received)
        {
            Assert.Empty(checker.CheckJson(ContractChecker.EventPointer(got.Type), got.Json));
            Assert.All(document["webhooks"]![got.Type]!["post"]!["parameters"]!.AsArray(), header => Assert.Contains(header!["name"]!.GetValue<string>(), got.Headers.Keys));
            Assert.StartsWith("application/cloudevents+json", got.Headers["Content-Type"], StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Checker_whatTheDocumentDoesNotSay_isAFault()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var checker = new ContractChecker((await service.Admin.GetAsync("/openapi/v1.json")).Text);
        var yard = (await service.Admin.PostAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" })).Should(HttpStatusCode.Created);
        var headers = new Dictionary<string, string> { ["ETag"] = "\"1\"", ["Location"] = "/v1/yards/1" };
        IReadOnlyList<string> Check(int status, string type, string body) => checker.Check("POST", "/v1/yards?x=1", status, type, headers, body);

        Assert.Empty(Check(201, "application/json; charset=utf-8", yard.Text));
        Assert.Contains("status 418", Assert.Single(Check(418, "application/json", yard.Text)), StringComparison.Ordinal);
        Assert.Contains("media type is text/html", Assert.Single(Check(201, "text/html", yard.Text)), StringComparison.Ordinal);
        Assert.Contains("not JSON", Assert.Single(Check(201, "application/json", "{")), StringComparison.Ordinal);
        Assert.Contains("/surprise", Assert.Single(Check(201, "application/json", yard.Text.Insert(1, "\"surprise\":1,"))), StringComparison.Ordinal);
        Assert.NotEmpty(Check(201, "application/json", yard.Text.Replace("Larkfield", "L\",\"name\":1,\"x\":\"", StringComparison.Ordinal)));
        Assert.Contains("Location is missing", Assert.Single(checker.Check("POST", "/v1/yards", 201, "application/json", new Dictionary<string, string> { ["ETag"] = "1" }, yard.Text)), StringComparison.Ordinal);
        Assert.Contains("no operation", Assert.Single(checker.Check("GET", "/v1/unicorns", 200, "application/json", headers, "{}")), StringComparison.Ordinal);
    }
}
