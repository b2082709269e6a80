using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;
using EventTypes = BackTracker.Engine.Alerts.EventTypes;

namespace BackTracker.Service.Tests.OpenApi;

public sealed class DocumentTests
{
    [Fact]
    public async Task Document_served_isTheOneCommitted()
    {
        await using var service = await RunningService.StartAsync();
        var served = (await service.Admin.GetAsync("/openapi/v1.json")).Should(HttpStatusCode.OK).Text.ReplaceLineEndings("\n").TrimEnd() + "\n";
        var path = Path.Combine(Repository.Root, "openapi", "backtracker.v1.json");
        if (Environment.GetEnvironmentVariable("BACKTRACKER_WRITE_OPENAPI") == "1")
            await File.WriteAllTextAsync(path, served, TestContext.Current.CancellationToken);

        Assert.True(File.Exists(path) && await File.ReadAllTextAsync(path, TestContext.Current.CancellationToken) == served,
            "openapi/backtracker.v1.json is not what the service serves. If the change is meant: BACKTRACKER_WRITE_OPENAPI=1 scripts/test");
    }

    [Fact]
    public async Task Document_is31AndDescribesEveryOperation()
    {
        await using var service = await RunningService.StartAsync();
        var document = (await service.Admin.GetAsync("/openapi/v1.json")).Body;

        Assert.StartsWith("3.1", document["openapi"]!.GetValue<string>(), StringComparison.Ordinal);
        foreach (var (name, operation) in Operations(document))
        {
            Assert.False(string.IsNullOrWhiteSpace(operation["summary"]?.GetValue<string>()), $"{name} has no summary");
            Assert.False(string.IsNullOrWhiteSpace(operation["operationId"]?.GetValue<string>()), $"{name} has no operationId");
            var isOpen = operation["description"]!.GetValue<string>().StartsWith("Needs no key.", StringComparison.Ordinal);
            Assert.Equal(isOpen, operation["security"]![0]!.AsObject().Count == 0);
            Assert.Equal(isOpen, operation["responses"]!["401"] is null);
        }
    }

    [Fact]
    public async Task Document_describesEveryParameterMemberTagAndEvent()
    {
        var document = await CommittedAsync();
        var silent = new List<string>();
        silent.AddRange(from operation in Operations(document)
                        from parameter in operation.Operation["parameters"]?.AsArray() ?? []
                        where parameter!["description"] is null
                        select $"{operation.Name} {parameter!["name"]}: say in ParameterWords what it means");
        silent.AddRange(from schema in Schemas(document)
                        from member in schema.Value["properties"]?.AsObject() ?? []
                        where string.IsNullOrWhiteSpace(member.Value!["description"]?.GetValue<string>())
                        select $"{schema.Key}.{member.Key}: give it an XML comment");
        silent.AddRange(document["tags"]!.AsArray().Where(t => t!["description"] is null).Select(t => $"tag {t!["name"]}: give the class of its endpoints an XML comment"));
        silent.AddRange(document["webhooks"]!.AsObject().Where(w => w.Value!["post"]!["summary"] is null).Select(w => $"webhook {w.Key}"));

        Assert.True(silent.Count == 0, string.Join('\n', silent));
        Assert.Equal(EventTypes.All.Append(EventTypes.SubscriptionTest).Order(), document["webhooks"]!.AsObject().Select(w => w.Key).Order());
    }

    [Fact]
    public async Task Document_everyBodyHasAnExample_andEveryExampleIsValid()
    {
        var document = await CommittedAsync();
        var checker = new ContractChecker(document.ToJsonString());
        var faults = new List<string>();
        foreach (var (name, operation) in Operations(document))
        {
            var bodies = operation["responses"]!.AsObject().Where(r => r.Key[0] == '2').Select(r => r.Value!["content"]).Append(operation["requestBody"]?["content"]);
            faults.AddRange(bodies.Where(content => content?["application/json"] is { } body && body["examples"] is null).Select(_ => $"{name} has a body without an example"));
        }
        foreach (var (schema, example) in document["components"]!["examples"]!.AsObject())
            faults.AddRange(checker.CheckJson($"/components/schemas/{schema}", example!["value"]).Select(fault => $"example {schema} {fault}"));
        foreach (var (type, path) in document["webhooks"]!.AsObject())
            faults.AddRange(checker.CheckJson(ContractChecker.EventPointer(type), path!["post"]!["requestBody"]!["content"]!["application/cloudevents+json"]!["example"]).Select(fault => $"example {type} {fault}"));

        Assert.True(faults.Count == 0, string.Join('\n', faults));
    }

    [Fact]
    public async Task RequestExamples_sentAsTheyAre_areTaken()
    {
        await using var service = await RunningService.StartAsync(settings: RouteWorld.Settings);
        var world = await RouteWorld.SettleAsync(service, await Yardful.SettleAsync(service));
        var document = await CommittedAsync();
        var refused = new List<string>();

        foreach (var (name, operation) in Operations(document).Where(o => o.Operation["requestBody"]?["content"]?["application/json"] is not null))
        {
            var example = document["components"]!["examples"]![operation["requestBody"]!["content"]!["application/json"]!["examples"]!.AsObject().Single().Key]!["value"]!.ToJsonString();
            var reply = await world.SendAsync(service.Admin, name.Split(' ')[0], name.Split(' ')[1], world.WithItsIds(example));
            if ((int)reply.Status >= 300 && reply.Status != HttpStatusCode.Conflict)
                refused.Add($"{name}: {reply.Text}");
        }

        Assert.True(refused.Count == 0, string.Join('\n', refused));
    }

    internal static async Task<JsonNode> CommittedAsync() =>
        JsonNode.Parse(await File.ReadAllTextAsync(Path.Combine(Repository.Root, "openapi", "backtracker.v1.json"), TestContext.Current.CancellationToken))!;

    private static IEnumerable<(string Key, JsonNode Value)> Schemas(JsonNode document) =>
        document["components"]!["schemas"]!.AsObject().Select(s => (s.Key, s.Value!));

    internal static IEnumerable<(string Name, JsonNode Operation)> Operations(JsonNode document) =>
        from path in document["paths"]!.AsObject()
        from method in path.Value!.AsObject()
        select ($"{method.Key.ToUpperInvariant()} {path.Key}", method.Value);
}
