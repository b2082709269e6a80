using System.Diagnostics;
using System.Globalization;

namespace BackTracker.Faults;

/// <summary>The real binary as a process of its own.</summary>
internal sealed class ServiceProcess : IAsyncDisposable
{
    private static readonly string Program = Path.Combine(AppContext.BaseDirectory, "backtracker.dll");
    private readonly Process _process;
    private readonly Task<string> _errors;

    private ServiceProcess(Process process, Uri address, Task<string> errors) => (_process, Address, _errors) = (process, address, errors);

    /// <summary>Lets webhooks reach this machine.</summary>
    public static IReadOnlyDictionary<string, string> LoopbackAllowed { get; } = new Dictionary<string, string> { ["BackTracker__Delivery__AllowHosts"] = "127.0.0.1" };

    public Uri Address { get; }

    /// <summary>How long its threads have waited for a processor that others had (proc(5), schedstat); nothing where the kernel does not say.</summary>
    public TimeSpan WaitedForProcessor()
    {
        var threads = new DirectoryInfo(string.Create(CultureInfo.InvariantCulture, $"/proc/{_process.Id}/task"));
        return TimeSpan.FromMilliseconds(!threads.Exists ? 0 : threads.EnumerateDirectories().Select(thread => Path.Combine(thread.FullName, "schedstat")).Where(File.Exists)
            .Sum(file => long.Parse(File.ReadAllText(file).Split(' ')[1], CultureInfo.InvariantCulture) / 1e6));
    }

    /// <summary>Starts the service on a folder and waits for the line that says where it listens.</summary>
    public static Task<ServiceProcess> StartAsync(string dataFolder) => StartAsync(dataFolder, new Dictionary<string, string>());

    /// <summary>The same with settings as environment variables, and more options of the command line.</summary>
    public static async Task<ServiceProcess> StartAsync(string dataFolder, IReadOnlyDictionary<string, string> settings, params string[] more)
    {
        var process = Launch(settings, ["serve", "--data", dataFolder, "--port", "0", .. more]);
        var errors = process.StandardError.ReadToEndAsync(CancellationToken.None); // Read at once: a log that nobody reads holds up who writes it.
        const string prefix = "Listening on ";
        using var limit = new CancellationTokenSource(TimeSpan.FromSeconds(30));
        while (await process.StandardOutput.ReadLineAsync(limit.Token) is { } line)
            if (line.StartsWith(prefix, StringComparison.Ordinal))
                return new ServiceProcess(process, new Uri(line[prefix.Length..]), errors);
        throw new InvalidOperationException($"The service did not start: {await errors}");
    }

    /// <summary>Waits until it has ended by itself; how, and what it logged.</summary>
    public async Task<(int ExitCode, string Log)> EndedAsync()
    {
        await _process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return (_process.ExitCode, await _errors);
    }

    /// <summary>Runs a command to its end; its output, with an exit code of 0.</summary>
    public static async Task<string> RunAsync(params string[] arguments)
    {
        using var process = Launch(arguments);
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var output = await process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(process.ExitCode == 0, $"{string.Join(' ', arguments)}: {process.ExitCode} {output} {await errors}");
        return output.Trim();
    }

    /// <summary>Starts the service and sends SIGTERM after a while, whatever it is doing then.</summary>
    public static async Task<(int ExitCode, string Errors)> TerminateAsync(string dataFolder, TimeSpan after)
    {
        using var process = Launch("serve", "--data", dataFolder, "--port", "0");
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await Task.Delay(after, TestContext.Current.CancellationToken);
        using (var kill = Process.Start("kill", ["-TERM", process.Id.ToString(CultureInfo.InvariantCulture)]))
            await kill.WaitForExitAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return (process.ExitCode, await errors);
    }

    /// <summary>SIGKILL: nothing is flushed, nothing is told.</summary>
    public async Task KillAsync()
    {
        _process.Kill();
        await _process.WaitForExitAsync(TestContext.Current.CancellationToken);
    }

    public async ValueTask DisposeAsync()
    {
        if (!_process.HasExited)
            await KillAsync();
        _process.Dispose();
    }

    /// <summary>Runs a command, to be cut off.</summary>
    public static Process Launch(params string[] arguments) => Launch(new Dictionary<string, string>(), arguments);

    private static Process Launch(IReadOnlyDictionary<string, string> settings, params string[] arguments)
    {
        var start = new ProcessStartInfo("dotnet", [Program, .. arguments]) { RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (var (name, value) in settings)
            start.Environment[name] = value;
        return Process.Start(start)!;
    }
}
