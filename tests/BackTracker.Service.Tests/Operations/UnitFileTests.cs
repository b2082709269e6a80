using System.Diagnostics;
using System.Globalization;
using System.Net.Sockets;
using System.Text;
using BackTracker.Service.Commands;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Edge;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Operations;

/// <summary>The unit that runs the service under systemd.</summary>
public sealed class UnitFileTests : IDisposable
{
    private const string Installed = "/opt/backtracker/backtracker";
    private static readonly string Unit = File.ReadAllText(Path.Combine(Repository.Root, "scripts", "deploy", "backtracker.service"));
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-unit-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task Unit_isOneThatSystemdTakes()
    {
        Assert.SkipUnless(File.Exists("/usr/bin/systemd-analyze"), "systemd-analyze is not installed.");
        var unit = Path.Combine(_folder, "backtracker.service");
        // What it starts has to be there.
        await File.WriteAllTextAsync(unit, Unit.Replace(Installed, "/bin/true", StringComparison.Ordinal), TestContext.Current.CancellationToken);

        Assert.Empty(await Tool.RunAsync(_folder, "/usr/bin/systemd-analyze", "verify", unit));
    }

    [Fact]
    public void Unit_givesTimeToEnd_andDoesNotRepeatWhatMakesNoSense()
    {
        Assert.True(int.Parse(ValueOf("TimeoutStopSec"), CultureInfo.InvariantCulture) > Drain.Patience.TotalSeconds + 5);
        Assert.Equal(CommandLine.Misused, int.Parse(ValueOf("RestartPreventExitStatus"), CultureInfo.InvariantCulture));
        Assert.Equal($"{Installed} serve --data /var/lib/backtracker", ValueOf("ExecStart"));
    }

    [Fact]
    public async Task Serve_underSystemd_saysWhenItAnswersAndWhenItEnds_andWritesTheLogAsEver()
    {
        using var manager = new Socket(AddressFamily.Unix, SocketType.Dgram, ProtocolType.Unspecified);
        manager.Bind(new UnixDomainSocketEndPoint(Path.Combine(_folder, "notify")));
        using var process = StartUnderSystemd();
        try
        {
            var log = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
            var served = await process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken);

            Assert.Contains("READY=1", await HearAsync(manager), StringComparison.Ordinal);
            var address = (await process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken))!["Listening on ".Length..];
            await RawHttp.AskAsync(address, "GET", "/v1/yards", "Authorization: Bearer bt_nothing\r\n"); // Which the log tells.
            await Tool.RunAsync(_folder, "kill", "-TERM", served!);

            Assert.Contains("STOPPING=1", await HearAsync(manager), StringComparison.Ordinal);
            await process.WaitForExitAsync(TestContext.Current.CancellationToken);
            Assert.Equal(0, process.ExitCode);
            var lines = (await log).Split('\n', StringSplitOptions.RemoveEmptyEntries);
            Assert.NotEmpty(lines);
            Assert.All(lines, line => Assert.Matches("^20[0-9-]+T[0-9:.]+Z [a-z]+: ", line));
        }
        finally
        {
            process.Kill(entireProcessTree: true);
        }
    }

    /// <summary>The library knows systemd by the name of the parent process: a shell of that name says the id of the service, and ends as it does.</summary>
    private Process StartUnderSystemd()
    {
        var shell = Path.Combine(_folder, "systemd");
        File.Copy("/bin/sh", shell);
        var start = new ProcessStartInfo(
            shell, ["-c", """ "$@" & echo $!; wait $! """, "systemd", "dotnet", Path.Combine(AppContext.BaseDirectory, "backtracker.dll"), "serve", "--port", "0", "--data", Path.Combine(_folder, "data")])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        start.Environment["NOTIFY_SOCKET"] = Path.Combine(_folder, "notify");
        return Process.Start(start)!;
    }

    private static string ValueOf(string setting) => Unit.Split('\n').Single(line => line.StartsWith($"{setting}=", StringComparison.Ordinal))[(setting.Length + 1)..];

    private static async Task<string> HearAsync(Socket socket)
    {
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        limit.CancelAfter(TimeSpan.FromMinutes(2));
        var said = new byte[4096];
        return Encoding.UTF8.GetString(said, 0, await socket.ReceiveAsync(said, limit.Token));
    }
}
