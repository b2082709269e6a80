using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

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
            Assert.Equal(isOpen, operation["security"] is null);
            Assert.Equal(isOpen, operation["responses"]!["401"] is null);
        }
    }

    internal static IEnumerable<(string Name, JsonNode Operation)> Operations(JsonNode document) =>
        from path in document["paths"]!.AsObject()
        from method in path.Value!.AsObject()
        select ($"{method.Key.ToUpperInvariant()} {path.Key}", method.Value);
}
