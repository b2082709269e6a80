using System.Diagnostics;
using System.Text.RegularExpressions;

namespace BackTracker.Benchmarks;

/// <summary>A server in a process of its own, as users run it.</summary>
internal sealed partial class Server(Process process, string address) : IDisposable
{
    public string Address => address;

    /// <summary>Memory it has in use, MiB: the resident set.</summary>
    public double ResidentMiB
    {
        get
        {
            process.Refresh();
            return process.WorkingSet64 / 1048576.0;
        }
    }

    public static async Task<Server> StartAsync(params string[] command)
    {
        var process = Start(command);
        while (await process.StandardOutput.ReadLineAsync() is { } line)
            if (Place().Match(line) is { Success: true } place)
                return new Server(process, place.Value);
        throw new InvalidOperationException($"{string.Join(' ', command)} did not start.");
    }

    public static Process Start(params string[] command)
    {
        var start = new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, command[0]), .. command[1..]]) { RedirectStandardOutput = true, RedirectStandardError = true };
        start.Environment["DOTNET_gcServer"] = "1"; // What a web project has of itself.
        start.Environment["BackTracker__Limits__RequestsPerMinute"] = "1000000000";
        return Process.Start(start)!;
    }

    public void Stop()
    {
        process.Kill();
        process.WaitForExit();
    }

    public void Dispose() => process.Dispose();

    [GeneratedRegex(@"http://127\.0\.0\.1:\d+")]
    private static partial Regex Place();
}
