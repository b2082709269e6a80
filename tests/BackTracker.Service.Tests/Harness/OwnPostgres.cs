using System.Diagnostics;
using System.Globalization;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A PostgreSQL server of a test's own, to be stopped and started.</summary>
internal sealed class OwnPostgres : IAsyncDisposable
{
    private readonly string _bin;
    private readonly string _folder;
    private readonly int _port = Ports.Free();

    private OwnPostgres(string bin, string folder) => (_bin, _folder) = (bin, folder);

    public string Connection => string.Create(CultureInfo.InvariantCulture, $"Host=127.0.0.1;Port={_port};Username=postgres;Database=postgres");

    public static async Task<OwnPostgres> StartNewAsync()
    {
        var bin = Directory.Exists("/usr/lib/postgresql") ? Directory.GetDirectories("/usr/lib/postgresql").Select(one => Path.Combine(one, "bin")).FirstOrDefault(Directory.Exists) : null;
        Assert.SkipWhen(bin is null, "No PostgreSQL server is installed.");
        var server = new OwnPostgres(bin!, Directory.CreateTempSubdirectory("backtracker-pg-").FullName);
        if (Environment.IsPrivilegedProcess)
            await RunAsync("chown", "postgres", server._folder);
        await server.AsOwnerAsync("initdb", "-D", server.Data, "-A", "trust", "-U", "postgres", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync");
        await server.StartAsync();
        return server;
    }

    public Task StartAsync() => AsOwnerAsync(
        "pg_ctl", "-D", Data, "-w", "-l", Path.Combine(_folder, "server.log"), "-o",
        string.Create(CultureInfo.InvariantCulture, $"-p {_port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={_folder} -c max_connections=200"), "start");

    /// <summary>Stops it as a power cut would.</summary>
    public Task StopAsync() => AsOwnerAsync("pg_ctl", "-D", Data, "-m", "immediate", "-w", "stop");

    private string Data => Path.Combine(_folder, "data");

    private Task AsOwnerAsync(string program, params string[] arguments) => Environment.IsPrivilegedProcess
        ? RunAsync("runuser", ["-u", "postgres", "--", Path.Combine(_bin, program), .. arguments])
        : RunAsync(Path.Combine(_bin, program), arguments);

    private static async Task RunAsync(string program, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo("sh", ["-c", "exec \"$@\" >/dev/null", "sh", program, .. arguments]) { WorkingDirectory = "/" })!;
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(process.ExitCode == 0, $"{program} {string.Join(' ', arguments)} ended with {process.ExitCode}.");
    }

    public async ValueTask DisposeAsync()
    {
        if (File.Exists(Path.Combine(Data, "postmaster.pid")))
            await StopAsync();
        Directory.Delete(_folder, recursive: true);
    }
}
