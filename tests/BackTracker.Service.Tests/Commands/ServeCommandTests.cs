using System.Net;
using System.Net.Sockets;
using BackTracker.Service.Tests.Harness;
using Dapper;
using Npgsql;

namespace BackTracker.Service.Tests.Commands;

public sealed class ServeCommandTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Serve_stoppedAndStartedAgain_keepsDataAndKeys(StoreKind kind)
    {
        await using var served = await ServedFolder.StartAsync(kind);
        var secret = (await served.RunAsync("key", "add", "--name", "tests", "--scopes", "admin")).ShouldSucceed().Lines.Single();
        var yard = await served.ClientFor(secret).MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });

        Assert.Equal(0, await served.StopAsync());
        Assert.Single(served.OutputLines);
        await served.ServeAsync();

        (await served.ClientFor(secret).GetAsync($"/v1/yards/{yard}")).Should(HttpStatusCode.OK);
    }

    [Fact]
    public async Task Serve_secondOnTheSameFolder_isRefusedAndTheFirstGoesOn()
    {
        await using var served = await ServedFolder.StartAsync();

        var second = (await served.RunAsync("serve", "--port", "0")).ShouldFail(1, "Another BackTracker service is running on");

        Assert.Single(second.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries));
        (await (await served.AdminAsync()).GetAsync("/v1/yards")).Should(HttpStatusCode.OK);
    }

    [Theory]
    [InlineData("boss", "--role boss is no role: use all, api or worker.")]
    [InlineData("api", "--role api needs a PostgreSQL database")]
    [InlineData("worker", "--role worker needs a PostgreSQL database")]
    public async Task Serve_roleThatCannotBe_isRefusedInOneLine(string role, string withWords)
    {
        await using var empty = await ServedFolder.EmptyAsync();

        var run = (await empty.RunAsync("serve", "--port", "0", "--role", role)).ShouldFail(2, withWords);

        Assert.Equal(["See: backtracker serve --help"], run.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries).Skip(1));
    }

    [Fact]
    public async Task Serve_severalAtOnceOnANewDatabase_allStartAndShareTheKeysOfCookies()
    {
        await using var store = await TestStore.CreateAsync(StoreKind.Postgres);
        var folders = Enumerable.Range(0, 3).Select(i => Path.Combine(store.Folder, $"instance-{i}")).ToList();
        (await CommandRun.OfAsync("key", "list", "--data", folders[0], "--database", store.Connection!)).ShouldSucceed(); // The schema is there: nobody waits for anybody else's upgrade.

        await using var other = new NpgsqlConnection(store.Connection);
        await other.OpenAsync(TestContext.Current.CancellationToken);
        await using var holding = await other.BeginTransactionAsync(TestContext.Current.CancellationToken);
        await other.ExecuteAsync("lock table protection_keys in share mode"); // Whoever would make a key waits, having seen that there is none.

        var processes = folders.Select(folder => CommandRun.Start(["serve", "--port", "0", "--data", folder, "--database", store.Connection!], null)).ToList();
        try
        {
            await Eventually.TrueAsync(async () => await store.CountAsync("pg_locks where not granted") == processes.Count, () => "Not all of them have come so far.");
            await holding.CommitAsync(TestContext.Current.CancellationToken);
            foreach (var process in processes)
                Assert.StartsWith("Listening on", await process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken) ?? await process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
            Assert.Equal(1, await store.CountAsync("protection_keys"));
        }
        finally
        {
            foreach (var process in processes)
            {
                process.Kill();
                await process.WaitForExitAsync(TestContext.Current.CancellationToken);
                process.Dispose();
            }
        }
    }

    [Fact]
    public async Task Serve_portThatIsTaken_isToldInOneLine()
    {
        await using var empty = await ServedFolder.EmptyAsync();
        using var taken = new TcpListener(IPAddress.Loopback, 0);
        taken.Start();
        var port = ((IPEndPoint)taken.LocalEndpoint).Port;

        var run = (await empty.RunAsync("serve", "--port", $"{port}")).ShouldFail(1, "address already in use");

        Assert.Single(run.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries));
    }

    [Fact]
    public async Task Serve_damagedDatabase_isRefusedAndLeftAlone()
    {
        await using var empty = await ServedFolder.EmptyAsync();
        var file = Path.Combine(empty.Folder, "backtracker.db");
        await File.WriteAllTextAsync(file, new string('x', 5000), TestContext.Current.CancellationToken);

        (await empty.RunAsync("serve", "--port", "0")).ShouldFail(1, "Restore the newest backup");

        Assert.Equal(new string('x', 5000), await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task Serve_damageWithinTheDatabase_isRefusedAndLeftAlone()
    {
        await using var whole = await ServedFolder.EmptyAsync();
        (await whole.RunAsync("key", "add", "--name", "tests", "--scopes", "admin")).ShouldSucceed();
        await using var empty = await ServedFolder.EmptyAsync();
        var file = Path.Combine(empty.Folder, "backtracker.db");
        (await whole.RunAsync("backup", file)).ShouldSucceed();
        var bytes = await File.ReadAllBytesAsync(file, TestContext.Current.CancellationToken);
        Array.Fill<byte>(bytes, 0xA5, bytes.Length / 8192 * 4096, 4096);
        await File.WriteAllBytesAsync(file, bytes, TestContext.Current.CancellationToken);

        (await empty.RunAsync("serve", "--port", "0")).ShouldFail(1, "Restore the newest backup");

        Assert.Equal(bytes, await File.ReadAllBytesAsync(file, TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task Serve_unknownSettingInTheEnvironment_stopsTheStart()
    {
        await using var empty = await ServedFolder.EmptyAsync();
        using var process = CommandRun.Start(["serve", "--port", "0", "--data", empty.Folder], new Dictionary<string, string> { ["BackTracker__Post__Host"] = "x" });
        var error = await process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);

        Assert.Equal(1, process.ExitCode);
        Assert.Equal("There is no setting Post. Known here: Alerts, Backups, Certificate, Delivery, Limits, Logs, Mail, Metrics, Pages, Policy.\n", error);
    }
}
