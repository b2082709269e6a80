using System.Globalization;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Edge;

/// <summary>What the service takes at most, tried over a bare socket.</summary>
public sealed class RequestLimitTests
{
    private const string Json = "Content-Type: application/json\r\n";

    [Theory]
    [InlineData(1 << 20, 400)]
    [InlineData((1 << 20) + 1, 413)]
    public async Task Body_upToOneMebibyte_isRead(int bytes, int status)
    {
        await using var service = await RunningService.StartAsync();

        var answer = await RawHttp.AskAsync(service.Address, "POST", "/v1/yards", Json + KeyOf(service), new string(' ', bytes));

        answer.ShouldBeProblem(status, status == 413 ? "too-large" : "malformed");
        if (status == 413)
            Assert.Contains("1 MiB", answer.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("""{"deep":""")]
    [InlineData("""{"name":""")]
    [InlineData("")]
    public async Task Json_tooDeep_isRefused(string before)
    {
        await using var service = await RunningService.StartAsync();

        var answer = await RawHttp.AskAsync(service.Address, "POST", "/v1/yards", Json + KeyOf(service), before + new string('[', 100_000));

        answer.ShouldBeProblem(400, before.Contains("deep", StringComparison.Ordinal) ? "unknown-member" : "malformed");
    }

    [Fact]
    public async Task Body_thatStopsComing_isRefused()
    {
        await using var service = await RunningService.StartAsync(settings: new Settings { Limits = new() { BodyBytesPerSecond = 1_000_000 } });
        using var raw = new RawHttp(service.Address);

        await raw.SayAsync($"POST /v1/yards HTTP/1.1\r\nHost: backtracker.test\r\n{Json}{KeyOf(service)}Content-Length: 1000\r\n\r\n{{");

        (await raw.AllAsync()).ShouldBeProblem(408, "too-slow");
    }

    [Fact]
    public async Task Head_thatComesDropByDrop_isCutOff()
    {
        await using var service = await RunningService.StartAsync(settings: new Settings { Limits = new() { HeaderSeconds = 1 } });
        using var raw = new RawHttp(service.Address);
        await raw.SayAsync("GET /health/live HTTP/1.1\r\nHost: backtracker.test\r\nX-Slow: ");

        Assert.Equal(408, (await raw.AllAsync()).Status);
    }

    [Theory]
    [InlineData("X-Long: ", 40_000, 431)]
    [InlineData("", 0, 200)]
    public async Task Head_beyondItsSize_isRefused(string name, int length, int status)
    {
        await using var service = await RunningService.StartAsync();

        var answer = await RawHttp.AskAsync(service.Address, "GET", "/health/live", length == 0 ? "" : $"{name}{new string('x', length)}\r\n");

        Assert.Equal(status, answer.Status);
        Assert.Empty(answer["Server"]);
    }

    [Fact]
    public async Task Connections_beyondTheLimit_areClosed_andServedAgainAfterwards()
    {
        await using var service = await RunningService.StartAsync(settings: new Settings { Limits = new() { Connections = 2 } });
        await Eventually.TrueAsync(async () =>
        {
            // Anew each time: a head that does not go on is given up after some seconds.
            using var one = new RawHttp(service.Address);
            using var two = new RawHttp(service.Address);
            await one.SayAsync("GET /health");
            await two.SayAsync("GET /health");
            return (await TryAsync(service)).Status == 0;
        }, () => "A third connection was served.");
        await Eventually.TrueAsync(async () => (await TryAsync(service)).Status == 200, () => "Nobody is served any more.");
    }

    [Theory]
    [InlineData("TRACE", "/v1/yards", "GET, POST")]
    [InlineData("DELETE", "/v1/yards", "GET, POST")]
    [InlineData("OPTIONS", "/v1/yards", "GET, POST")]
    [InlineData("PURGE", "/health/live", "GET")]
    [InlineData("HEAD", "/v1/checks/x/book", "POST")]
    public async Task Method_notListed_isRefusedWithThoseThatAre(string method, string path, string allowed)
    {
        await using var service = await RunningService.StartAsync();

        var answer = await RawHttp.AskAsync(service.Address, method, path, KeyOf(service));

        Assert.Equal(405, answer.Status);
        Assert.Equal(allowed, string.Join(", ", answer["Allow"].Split(", ").Order(StringComparer.Ordinal)));
        if (method != "HEAD")
            answer.ShouldBeProblem(405, "method-not-allowed");
    }

    [Theory]
    [InlineData("GET", "/nowhere", 404, "not-found")]
    [InlineData("TRACE", "/nowhere", 404, "not-found")]
    [InlineData("GET", "/v1/yards", 401, "no-key")]
    public async Task Refusal_ofAnyKind_isAProblemWithTheUsualHeaders(string method, string path, int status, string kind)
    {
        await using var service = await RunningService.StartAsync();

        (await RawHttp.AskAsync(service.Address, method, path)).ShouldBeProblem(status, kind);
    }

    private static Task<RawAnswer> TryAsync(RunningService service) => RawHttp.AskAsync(service.Address, "GET", "/health/live");

    private static string KeyOf(RunningService service) => string.Create(CultureInfo.InvariantCulture, $"Authorization: Bearer {service.AdminKey}\r\n");
}
