using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Text.RegularExpressions;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Edge;

public sealed partial class MetricsTests
{
    private static readonly string[] Own =
    [
        "backtracker_assessment_duration_seconds_count", "backtracker_deliveries_total", "backtracker_outbox_length", "backtracker_outbox_oldest_age_seconds",
        "backtracker_store_write_wait_seconds_count", "backtracker_work_queue_length", "backtracker_work_queue_oldest_age_seconds",
    ];

    [Fact]
    public async Task Metrics_afterMixedWork_areWellFormed_andNameNobody()
    {
        var port = Ports.Free();
        await using var receiver = await Receiver.StartAsync();
        await using var service = await RunningService.StartAsync(settings: new Settings { Metrics = new() { Port = port }, Delivery = new() { AllowHosts = "127.0.0.1" } });
        var ids = await WorkAsync(service, receiver);

        var scraped = (await service.Admin.GetAsync("/metrics")).Should(HttpStatusCode.OK).Text;
        var samples = Parse(scraped);

        Assert.All(Own, name => Assert.Contains(samples, sample => sample.Name == name));
        Assert.Contains("http_route=\"/v1/horses/{id}/measurements/\"", scraped, StringComparison.Ordinal);
        Assert.Contains(samples, sample => sample is { Name: "backtracker_deliveries_total", Labels: var labels } && labels.Contains("outcome=\"taken\"", StringComparison.Ordinal));
        Assert.All(ids.Append(service.AdminKey), id => Assert.DoesNotContain(id, scraped, StringComparison.Ordinal));
        Assert.DoesNotMatch(Uuid(), scraped);
        // Not from every request a series of its own.
        Assert.InRange(samples.Count(sample => sample.Name == "http_server_request_duration_seconds_count"), 1, 30);
    }

    [Fact]
    public async Task Metrics_onTheirOwnPort_needNoKey_andAreAllThereIs()
    {
        var port = Ports.Free();
        await using var service = await RunningService.StartAsync(settings: new Settings { Metrics = new() { Port = port } });
        var address = string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{port}");

        var metrics = await RawHttp.AskAsync(address, "GET", "/metrics");
        var rest = await RawHttp.AskAsync(address, "GET", "/v1/yards", $"Authorization: Bearer {service.AdminKey}\r\n");

        Assert.Equal(200, metrics.Status);
        Assert.Contains("backtracker_work_queue_length", metrics.Text, StringComparison.Ordinal);
        rest.ShouldBeProblem(404, "not-found");
    }

    [Fact]
    public async Task Metrics_besideTheRest_needAnAdministratorsKey()
    {
        await using var service = await RunningService.StartAsync();
        var yardId = await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        var manager = service.ClientFor((await service.Admin.PostAsync("/v1/keys", new { name = "phone", scopes = new[] { "manage" }, yardIds = new[] { yardId } }))["secret"]!.GetValue<string>());

        (await manager.GetAsync("/metrics")).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await RawHttp.AskAsync(service.Address, "GET", "/metrics")).ShouldBeProblem(401, "no-key");
    }

    [Fact]
    public async Task Metrics_areWhatTheCheckerOfPrometheusAccepts()
    {
        Assert.SkipUnless(File.Exists("/usr/bin/promtool"), "promtool is not installed. Debian: apt-get install prometheus");
        await using var service = await RunningService.StartAsync();
        await service.Admin.GetAsync("/v1/yards");
        using var checker = Process.Start(new ProcessStartInfo("/usr/bin/promtool", ["check", "metrics"]) { RedirectStandardInput = true, RedirectStandardError = true })!;

        await checker.StandardInput.WriteAsync((await service.Admin.GetAsync("/metrics")).Text);
        checker.StandardInput.Close();
        var complaints = await checker.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await checker.WaitForExitAsync(TestContext.Current.CancellationToken);

        Assert.DoesNotContain("backtracker_", complaints, StringComparison.Ordinal);
        Assert.DoesNotContain("parsing error", complaints, StringComparison.Ordinal);
    }

    private static async Task<List<string>> WorkAsync(RunningService service, Receiver receiver)
    {
        var yardId = await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        var personId = await service.Admin.MakeAsync("/v1/people", new { name = "Isla Brook", role = "fitter", yardIds = new[] { yardId } });
        (await service.Admin.PostAsync("/v1/subscriptions", new { url = receiver.Url, yardIds = new[] { yardId } })).Should(HttpStatusCode.Created);
        var ids = new List<string> { yardId, personId };
        foreach (var name in new[] { "Bramble", "Teasel", "Sorrel" })
        {
            var horseId = await service.Admin.MakeAsync("/v1/horses", new { yardId, name });
            ids.Add(horseId);
            ids.Add(await service.Admin.MakeAsync($"/v1/horses/{horseId}/measurements", new { measuredAt = "2026-11-24T09:00:00Z", measuredBy = personId, method = "tape", exercise = "before", weightKg = 500 }));
            await service.Admin.GetAsync($"/v1/horses/{horseId}");
            await service.Admin.GetAsync($"/v1/horses/{horseId}/nothing");
            await service.Admin.GetAsync($"/nowhere/{horseId}");
        }
        await receiver.GotAsync(3);
        await service.SettledAsync();
        return ids;
    }

    /// <summary>Reads the text format strictly: every line a comment or a sample, no series of ours twice, every value a number.</summary>
    private static List<Sample> Parse(string text)
    {
        var samples = new List<Sample>();
        foreach (var line in text.Split('\n', StringSplitOptions.RemoveEmptyEntries).Where(line => !Comment().IsMatch(line)))
        {
            var read = SampleLine().Match(line);
            Assert.True(read.Success, $"This is no sample: {line}");
            Assert.True(read.Groups[3].Value is "NaN" or "+Inf" or "-Inf" || double.TryParse(read.Groups[3].Value, CultureInfo.InvariantCulture, out _), line);
            samples.Add(new Sample(read.Groups[1].Value, read.Groups[2].Value));
        }
        // The server's own meters are there once for each service that other tests run in this process.
        var own = samples.Where(sample => sample.Name.StartsWith("backtracker_", StringComparison.Ordinal)).ToList();
        Assert.Equal(own.Count, own.Distinct().Count());
        return samples;
    }

    private sealed record Sample(string Name, string Labels);

    [GeneratedRegex("^# (TYPE [a-zA-Z_:][a-zA-Z0-9_:]* (counter|gauge|histogram|summary|untyped|info|unknown)|HELP [a-zA-Z_:][a-zA-Z0-9_:]* .+|UNIT [a-zA-Z_:][a-zA-Z0-9_:]* [a-z]+|EOF)$")]
    private static partial Regex Comment();

    [GeneratedRegex("^([a-zA-Z_:][a-zA-Z0-9_:]*)(\\{(?:[a-zA-Z_][a-zA-Z0-9_]*=\"(?:[^\"\\\\\n]|\\\\[\\\\n\"])*\",?)*\\})? (\\S+)( [0-9]+)?$")]
    private static partial Regex SampleLine();

    [GeneratedRegex("[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")]
    private static partial Regex Uuid();
}
