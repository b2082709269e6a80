using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.OpenApi;

/// <summary>Clients that public generators make of the committed document: generated, compiled strictly, and run against the service.</summary>
public sealed class ClientTests
{
    private static readonly string Document = Path.Combine(Repository.Root, "openapi", "backtracker.v1.json");
    private static readonly string Now = DateTimeOffset.UtcNow.ToString("O");

    [Fact]
    public async Task DotNetClient_generatedByKiota_livesThroughTheStory()
    {
        await using var service = await RunningService.StartAsync(now: Now);
        var folder = Directory.CreateDirectory(Path.Combine(Repository.Root, "artifacts", "clients", "dotnet")).FullName;
        foreach (var file in Directory.GetFiles(Path.Combine(Repository.Root, "tests", "clients", "dotnet")))
            File.Copy(file, Path.Combine(folder, Path.GetFileName(file)), overwrite: true);
        await Tool.RunAsync(Repository.Root, "dotnet", "tool", "restore");
        await Tool.RunAsync(Repository.Root, "dotnet", "kiota", "generate", "--language", "CSharp", "--openapi", Document, "--class-name", "BackTrackerClient",
            "--namespace-name", "BackTracker.Client", "--output", Path.Combine(folder, "Generated"), "--clean-output", "--exclude-backward-compatible", "--log-level", "Error",
            "--serializer", "Microsoft.Kiota.Serialization.Json.JsonSerializationWriterFactory", "--deserializer", "Microsoft.Kiota.Serialization.Json.JsonParseNodeFactory");
        await Tool.RunAsync(folder, "dotnet", "build", "Client.csproj", "-c", "Release", "-v", "quiet", "-nologo", "-o", "built", "-nodeReuse:false");

        Assert.Contains("booked and done", await Tool.RunAsync(folder, "dotnet", "built/Client.dll", service.Address, service.AdminKey), StringComparison.Ordinal);
    }

    [Fact]
    public async Task TypeScriptClient_ofOpenApiFetch_livesThroughTheStory()
    {
        var tools = Tool.NodeFolder();
        await using var service = await RunningService.StartAsync(now: Now);
        await Tool.RunAsync(tools, "node", "node_modules/openapi-typescript/bin/cli.js", Document, "--output", "schema.ts");
        await Tool.RunAsync(tools, "node", "node_modules/typescript/bin/tsc", "--project", "tsconfig.json");

        Assert.Contains("booked and done", await Tool.RunAsync(tools, "node", "built/story.js", service.Address, service.AdminKey), StringComparison.Ordinal);
    }
}
