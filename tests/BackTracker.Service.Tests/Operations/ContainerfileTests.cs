using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Operations;

/// <summary>What can be said of the image without an engine that builds it.</summary>
public sealed class ContainerfileTests
{
    private static readonly string[] Lines = File.ReadAllLines(Path.Combine(Repository.Root, "scripts", "deploy", "Containerfile"));

    [Fact]
    public void Containerfile_copiesWhatIsThere()
    {
        var sources = Values("COPY").Where(copy => !copy.StartsWith("--from", StringComparison.Ordinal)).SelectMany(copy => copy.Split(' ')[..^1]).ToList();

        Assert.NotEmpty(sources);
        Assert.All(sources, source => Assert.True(Path.Exists(Path.Combine(Repository.Root, source)), source));
    }

    [Fact]
    public void Containerfile_publishesByTheScript_withOptionsItHas()
    {
        var publish = Values("RUN").Single(run => run.Contains("publish", StringComparison.Ordinal)).Split(' ');
        var usage = File.ReadLines(Path.Combine(Repository.Root, "scripts", "publish")).Skip(1).First();

        Assert.Equal("scripts/publish", publish[0]);
        Assert.All(publish.Where(word => word.StartsWith("--", StringComparison.Ordinal)), option => Assert.Contains(option, usage, StringComparison.Ordinal));
        Assert.Contains($"COPY --from=build {publish[^1]} {publish[^1]}", Lines);
        Assert.Contains("""ENTRYPOINT ["dotnet", "/app/backtracker.dll"]""", Lines);
    }

    [Fact]
    public async Task HealthCheck_asksTheServiceThatIsThere()
    {
        var check = Values("HEALTHCHECK").Single();
        var command = JsonSerializer.Deserialize<string[]>(check[check.IndexOf('[', StringComparison.Ordinal)..])!;
        await using var service = await RunningService.StartAsync();

        Assert.Equal(0, await ExitCodeAsync(command, new Uri(service.Address).Port));
        Assert.NotEqual(0, await ExitCodeAsync(command, Ports.Free()));
    }

    private static IEnumerable<string> Values(string instruction) =>
        Lines.Where(line => line.StartsWith($"{instruction} ", StringComparison.Ordinal)).Select(line => line[(instruction.Length + 1)..]);

    private static async Task<int> ExitCodeAsync(string[] command, int port)
    {
        var start = new ProcessStartInfo(command[0], command[1..]) { RedirectStandardError = true };
        start.Environment["PORT"] = port.ToString(CultureInfo.InvariantCulture);
        using var process = Process.Start(start)!;
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return process.ExitCode;
    }
}
