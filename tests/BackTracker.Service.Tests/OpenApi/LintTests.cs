using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.OpenApi;

public sealed class LintTests
{
    [Fact]
    public async Task Document_asServed_givesALinterNothingToSay()
    {
        var tools = Tool.NodeFolder();
        await using var service = await RunningService.StartAsync();
        var document = Path.Combine(tools, "served.json");
        await File.WriteAllTextAsync(document, (await service.Admin.GetAsync("/openapi/v1.json")).Should(HttpStatusCode.OK).Text, TestContext.Current.CancellationToken);

        var said = await Tool.RunAsync(tools, "node", "node_modules/@redocly/cli/bin/cli.js", "lint", document, "--config", Path.Combine(Repository.Root, ".redocly.yaml"), "--format", "json");

        Assert.Contains("\"errors\": 0", said, StringComparison.Ordinal);
        Assert.Contains("\"warnings\": 0", said, StringComparison.Ordinal);
    }
}
