using System.Globalization;
using System.Net;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;
using Npgsql;

namespace BackTracker.Service.Tests.Edge;

public sealed class HealthTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Ready_whereAllIsWell_writesNothing(StoreKind kind)
    {
        await using var service = await RunningService.StartAsync(kind);
        var commits = 0;
        service.Database.Committed += _ => Interlocked.Increment(ref commits);

        for (var probe = 0; probe < 5; probe++)
            Assert.Equal("""{"status":"ready","oldestEventSeconds":null}""", (await service.Admin.GetAsync("/health/ready")).Should(HttpStatusCode.OK).Text);

        Assert.Equal(0, commits);
    }

    [Fact]
    public async Task Ready_storeThatLacksASchemaStep_isNot()
    {
        await using var service = await RunningService.StartAsync(StoreKind.Postgres);
        await ExecuteAsync(service, "delete from schema_checksums where name like '0001%'");

        (await service.Admin.GetAsync("/health/ready")).ShouldBeProblem(HttpStatusCode.ServiceUnavailable, "not-ready");
        (await service.Admin.GetAsync("/health/live")).Should(HttpStatusCode.OK);
    }

    [Fact]
    public async Task Ready_storeThatOnlyReads_isNot_untilItWritesAgain()
    {
        await using var service = await RunningService.StartAsync(StoreKind.Postgres, role: ServiceRole.Api);
        (await service.Admin.GetAsync("/v1/yards")).Should(HttpStatusCode.OK);
        await SetReadOnlyAsync(service, "on");

        // Connections that were open before are found dead one by one.
        await Eventually.TrueAsync(async () => (await service.Admin.GetAsync("/v1/yards")).Status == HttpStatusCode.OK, () => "Nothing can be read.");
        (await service.Admin.PostAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" })).ShouldBeProblem(HttpStatusCode.ServiceUnavailable, "not-ready");
        (await service.Admin.GetAsync("/health/ready")).ShouldBeProblem(HttpStatusCode.ServiceUnavailable, "not-ready");
        (await service.Admin.GetAsync("/v1/yards")).Should(HttpStatusCode.OK);
        await SetReadOnlyAsync(service, "off");

        await Eventually.TrueAsync(async () => (await service.Admin.GetAsync("/health/ready")).Status == HttpStatusCode.OK, () => "It does not become ready again.");
    }

    [Fact]
    public async Task PostgreSqlStopped_liveGoesOn_readyDoesNot_andIsBackWithinTenSeconds()
    {
        await using var server = await OwnPostgres.StartNewAsync();
        var folder = Directory.CreateTempSubdirectory("backtracker-test-").FullName;
        using var process = CommandRun.Start(["serve", "--port", "0", "--data", folder, "--database", server.Connection], null);
        try
        {
            using var client = new HttpClient { BaseAddress = new Uri((await process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken))!["Listening on ".Length..]) };
            Assert.Equal(200, await StatusAsync(client, "/health/ready"));

            await server.StopAsync();
            Assert.Equal(503, await StatusAsync(client, "/health/ready"));
            Assert.Equal(200, await StatusAsync(client, "/health/live"));
            await server.StartAsync();

            await Eventually.TrueAsync(async () => await StatusAsync(client, "/health/ready") == 200, () => "It does not come back.", withinSeconds: 10);
        }
        finally
        {
            process.Kill();
            await process.WaitForExitAsync(TestContext.Current.CancellationToken);
            Directory.Delete(folder, recursive: true);
        }
    }

    [Fact]
    public async Task Stop_whileARequestIsUnderWay_isNotReadyAtOnce_takesNothingNew_andLetsItFinish()
    {
        await using var service = await RunningService.StartAsync();
        const string body = """{"name":"Larkfield","timeZone":"UTC"}""";
        using var underWay = new RawHttp(service.Address);
        await underWay.SayAsync(string.Create(CultureInfo.InvariantCulture,
            $"POST /v1/yards HTTP/1.1\r\nHost: backtracker.test\r\nConnection: close\r\nContent-Type: application/json\r\nAuthorization: Bearer {service.AdminKey}\r\nContent-Length: {body.Length}\r\n\r\n{body[..5]}"));
        await Eventually.TrueAsync(() => Task.FromResult(service.Services.GetRequiredService<Drain>().UnderWay == 1), () => "The request has not arrived.");

        var stopped = service.StopAsync();
        await Eventually.TrueAsync(async () => (await service.Admin.GetAsync("/health/ready")).Status == HttpStatusCode.ServiceUnavailable, () => "It is still ready.");
        (await service.Admin.GetAsync("/health/live")).Should(HttpStatusCode.OK);
        var refused = (await service.Admin.GetAsync("/v1/yards")).ShouldBeProblem(HttpStatusCode.ServiceUnavailable, "not-ready");
        Assert.NotNull(refused.Headers.RetryAfter);
        Assert.False(stopped.IsCompleted);
        await underWay.SayAsync(body[5..]);

        Assert.Equal(201, (await underWay.AllAsync()).Status);
        await stopped;
    }

    [Fact]
    public async Task Stop_withNothingUnderWay_waitsForNobody()
    {
        await using var served = await ServedFolder.StartAsync();
        using var idle = new RawHttp(served.Address);
        var began = Environment.TickCount64;

        Assert.Equal(0, await served.StopAsync());

        Assert.InRange(Environment.TickCount64 - began, 0, (long)Drain.Patience.TotalMilliseconds);
    }

    private static async Task<int> StatusAsync(HttpClient client, string path)
    {
        using var answer = await client.GetAsync(path, TestContext.Current.CancellationToken);
        return (int)answer.StatusCode;
    }

    private static async Task SetReadOnlyAsync(RunningService service, string value)
    {
        await ExecuteAsync(service, $"alter database {DatabaseOf(service)} set default_transaction_read_only = {value}");
        await ExecuteAsync(service, "select pg_terminate_backend(pid) from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid()");
    }

    private static string DatabaseOf(RunningService service) => new NpgsqlConnectionStringBuilder(ConnectionOf(service)).Database!;

    private static string ConnectionOf(RunningService service) => service.Services.GetRequiredService<ServeOptions>().Database!;

    private static async Task ExecuteAsync(RunningService service, string sql)
    {
        await using var connection = new NpgsqlConnection(new NpgsqlConnectionStringBuilder(ConnectionOf(service)) { Pooling = false, Options = "-c default_transaction_read_only=off" }.ToString());
        await connection.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
    }
}
