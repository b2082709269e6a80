using System.Net;
using System.Text.RegularExpressions;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Operations;

/// <summary>The alerting rules for Prometheus.</summary>
public sealed partial class AlertRuleTests
{
    private const string Promtool = "/usr/bin/promtool";
    private static readonly string Folder = Path.Combine(Repository.Root, "scripts", "deploy");

    [Fact]
    public async Task Rules_askForMetricsThereAre()
    {
        await using var service = await RunningService.StartAsync();
        var yardId = await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        await service.Admin.MakeAsync("/v1/horses", new { yardId, name = "Bramble" });
        await service.SettledAsync();
        var metrics = (await service.Admin.GetAsync("/metrics")).Should(HttpStatusCode.OK).Text;
        var asked = Metric().Matches(await File.ReadAllTextAsync(Path.Combine(Folder, "alerts.yml"), TestContext.Current.CancellationToken)).Select(metric => metric.Groups[1].Value).Distinct().ToList();

        Assert.True(asked.Count >= 6, "The rules ask for next to nothing.");
        Assert.All(asked, name => Assert.Contains($"\n{name}{{", metrics, StringComparison.Ordinal));
        Assert.All(new[] { "made", "tried", "failed", "unsound" }, outcome => Assert.Matches($"backtracker_backups_total\\{{[^}}]*outcome=\"{outcome}\"[^}}]*\\}} [0-9]", metrics));
    }

    [Fact]
    public async Task Rules_areWhatTheCheckerOfPrometheusTakes_andGoOffWhenTheyShould()
    {
        Assert.SkipUnless(File.Exists(Promtool), "promtool is not installed. Debian: apt-get install prometheus");

        Assert.Contains("SUCCESS", await Tool.RunAsync(Folder, Promtool, "check", "rules", "alerts.yml"), StringComparison.Ordinal);
        Assert.Contains("SUCCESS", await Tool.RunAsync(Path.Combine(Repository.Root, "tests", "BackTracker.Service.Tests", "Operations"), Promtool, "test", "rules", "alerts.test.yml"), StringComparison.Ordinal);
    }

    [GeneratedRegex(@"\b((?:backtracker|http_server)_[a-z_]+)\{")]
    private static partial Regex Metric();
}
