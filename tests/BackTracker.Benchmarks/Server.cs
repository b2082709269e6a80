using System.Collections.Concurrent;
using System.Diagnostics;
using System.Text.RegularExpressions;

namespace BackTracker.Benchmarks;

/// <summary>A server in a process of its own, as users run it.</summary>
internal sealed partial class Server : IDisposable
{
    private readonly Process _process;
    private readonly ConcurrentQueue<string> _complaints = new();

    private Server(Process process)
    {
        _process = process;
        process.ErrorDataReceived += (_, said) => _complaints.Enqueue(said.Data ?? "");
        process.BeginErrorReadLine(); // Unread, it would fill its pipe and wait.
    }

    public string Address { get; private set; } = "";

    /// <summary>What it said on standard error.</summary>
    public IReadOnlyList<string> Complaints => [.. _complaints.Where(line => line.Length > 0)];

    /// <summary>Memory it has in use, MiB: the resident set.</summary>
    public double ResidentMiB
    {
        get
        {
            _process.Refresh();
            return _process.WorkingSet64 / 1048576.0;
        }
    }

    /// <summary>Time it has had of all processors.</summary>
    public double ProcessorSeconds
    {
        get
        {
            _process.Refresh();
            return _process.TotalProcessorTime.TotalSeconds;
        }
    }

    public static Task<Server> StartAsync(params string[] command) => StartAsync(new Dictionary<string, string>(), command);

    /// <summary>The same with settings as environment variables.</summary>
    public static async Task<Server> StartAsync(IReadOnlyDictionary<string, string> settings, string[] command)
    {
        var server = new Server(Start(settings, command));
        while (await server._process.StandardOutput.ReadLineAsync() is { } line)
            if (Place().Match(line) is { Success: true } place)
            {
                server.Address = place.Value;
                return server;
            }
        throw new InvalidOperationException($"{string.Join(' ', command)} did not start: {string.Join(' ', server.Complaints)}");
    }

    public static Process Start(IReadOnlyDictionary<string, string> settings, string[] command)
    {
        var start = new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, command[0]), .. command[1..]]) { RedirectStandardOutput = true, RedirectStandardError = true };
        start.Environment["DOTNET_gcServer"] = "1"; // What a web project has of itself.
        start.Environment["BackTracker__Limits__RequestsPerMinute"] = "1000000000";
        foreach (var (name, value) in settings)
            start.Environment[name] = value;
        return Process.Start(start)!;
    }

    public void Stop()
    {
        _process.Kill();
        _process.WaitForExit();
    }

    public void Dispose() => _process.Dispose();

    [GeneratedRegex(@"http://127\.0\.0\.1:\d+")]
    private static partial Regex Place();
}
