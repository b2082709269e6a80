using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Commands;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Imports;

public sealed class ImportProgressTests
{
    [Fact]
    public async Task Progress_ofARunningImport_isTold_untilItIsOver()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        using var file = new GrowingFile(Files.Csv);
        using var http = ClientOf(service);
        var sending = await BeginAsync(http, yard, file);
        await Eventually.TrueAsync(async () => (await service.Admin.GetAsync("/v1/imports")).Items.Count == 1, () => "The import was not seen running.");
        var id = (await service.Admin.GetAsync("/v1/imports")).Items[0]!["id"]!.GetValue<string>();
        using var stream = await http.GetAsync($"/v1/imports/{id}/progress", HttpCompletionOption.ResponseHeadersRead, TestContext.Current.CancellationToken);
        Assert.Equal("text/event-stream", stream.Content.Headers.ContentType!.MediaType);
        using var lines = new StreamReader(await stream.Content.ReadAsStreamAsync(TestContext.Current.CancellationToken));

        Assert.Equal("running", (await NextAsync(lines, service))!["state"]!.GetValue<string>());
        await file.WriteAsync("Bramble,2026-03-02T09:00:00Z,A fitter,eyesight\n");
        await file.EndAsync();
        Assert.Equal(HttpStatusCode.UnprocessableEntity, (await sending).StatusCode);
        JsonNode? last = null;
        for (var next = await NextAsync(lines, service); next is not null; next = await NextAsync(lines, service))
            last = next;

        Assert.Equal(("refused", 2L), (last!["state"]!.GetValue<string>(), last["linesRead"]!.GetValue<long>()));
        var over = (await service.Admin.GetAsync($"/v1/imports/{id}/progress")).Should(HttpStatusCode.OK).Text;
        Assert.Equal(last.ToJsonString(), JsonNode.Parse(over.Trim()["data: ".Length..])!.ToJsonString());
        (await service.Admin.GetAsync($"/v1/imports/{yard.YardId}/progress")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
    }

    [Fact]
    public async Task Progress_askedOfAnotherInstance_isThatOfTheOneThatImports()
    {
        await using var service = await RunningService.StartAsync(StoreKind.Postgres, role: ServiceRole.Api);
        var other = await service.AgainAsync(new(), ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        using var file = new GrowingFile(Files.Csv);
        using var http = ClientOf(service);
        var sending = await BeginAsync(http, yard, file);
        Reply seen = null!;
        await Eventually.TrueAsync(async () => (seen = await other.Admin.GetAsync("/v1/imports")).Items.Count == 1, () => "The import was not seen running.");
        var id = seen.Items[0]!["id"]!.GetValue<string>();
        Assert.Equal("running", (await other.Admin.GetAsync($"/v1/imports/{id}"))["state"]!.GetValue<string>());
        Assert.Single((await service.Admin.GetAsync("/v1/imports")).Items);

        service.Clock.Advance(TimeSpan.FromMinutes(1)); // Unless it is said again, whoever imports is gone.
        await Eventually.TrueAsync(async () => (await other.Admin.GetAsync($"/v1/imports/{id}")).Status == HttpStatusCode.OK, () => "It was not said again.");
        await file.WriteAsync("Bramble,2026-03-02T09:00:00Z,A fitter,eyesight\n");
        await file.EndAsync();
        Assert.Equal(HttpStatusCode.UnprocessableEntity, (await sending).StatusCode);

        Assert.Equal("refused", Assert.Single((await other.Admin.GetAsync("/v1/imports")).Items)!["state"]!.GetValue<string>());
    }

    [Theory]
    [InlineData(0, 0, "[....................] 0 %")]
    [InlineData(511, 1024, "[#########...........] 49 %")]
    [InlineData(1024, 1024, "[####################] 100 %")]
    [InlineData(2000, 1024, "[####################] 100 %")]
    public void Bar_fillsAsTheFileIsRead(long done, long all, string bar) => Assert.Equal(bar, Meter.Bar(done, all));

    private static HttpClient ClientOf(RunningService service)
    {
        var http = new HttpClient { BaseAddress = new Uri(service.Address) };
        http.DefaultRequestHeaders.Authorization = new("Bearer", service.AdminKey);
        return http;
    }

    /// <summary>Begins to send a file that is not ended yet.</summary>
    private static async Task<Task<HttpResponseMessage>> BeginAsync(HttpClient http, Yardful yard, GrowingFile file)
    {
        await file.WriteAsync(Files.Header);
        return http.PostAsync($"/v1/imports?yardId={yard.YardId}", file, TestContext.Current.CancellationToken);
    }

    // The service looks again as its clock goes on.
    private static async Task<JsonNode?> NextAsync(StreamReader lines, RunningService service)
    {
        while (true)
        {
            var reading = lines.ReadLineAsync(TestContext.Current.CancellationToken).AsTask();
            await Eventually.TrueAsync(
                () =>
                {
                    if (!reading.IsCompleted)
                        service.Clock.Advance(TimeSpan.FromSeconds(1));
                    return Task.FromResult(reading.IsCompleted);
                },
                () => "Nothing was told.");
            if (await reading is not { } line)
                return null;
            if (line.StartsWith("data: ", StringComparison.Ordinal))
                return JsonNode.Parse(line["data: ".Length..]);
        }
    }
}
