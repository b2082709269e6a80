using System.Diagnostics;
using System.Globalization;

namespace BackTracker.Faults;

/// <summary>The real binary as a process of its own.</summary>
internal sealed class ServiceProcess : IAsyncDisposable
{
    private static readonly string Program = Path.Combine(AppContext.BaseDirectory, "backtracker.dll");
    private readonly Process _process;
    private readonly Task<string> _errors;

    private ServiceProcess(Process process, Task<string> errors, Uri address) => (_process, _errors, Address) = (process, errors, address);

    /// <summary>Lets webhooks reach this machine.</summary>
    public static IReadOnlyDictionary<string, string> LoopbackAllowed { get; } = new Dictionary<string, string> { ["BackTracker__Delivery__AllowHosts"] = "127.0.0.1" };

    public Uri Address { get; }

    public int Id => _process.Id;

    /// <summary>Insists that it has not ended by itself.</summary>
    public async Task ShouldRunAsync() => Assert.False(_process.HasExited, _process.HasExited ? await _errors : "");

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
    public static Task<ServiceProcess> StartAsync(string dataFolder, IReadOnlyDictionary<string, string> settings, params string[] more) => StartAfterAsync("true", dataFolder, settings, more);

    /// <summary>The same after a line of shell in the process that becomes the service.</summary>
    public static async Task<ServiceProcess> StartAfterAsync(string shell, string dataFolder, IReadOnlyDictionary<string, string> settings, params string[] more)
    {
        var process = Launch("bash", ["-c", $"{shell} && exec \"$@\"", "bash", .. CommandLine(["serve", "--data", dataFolder, "--port", "0", .. more])], settings);
        var errors = process.StandardError.ReadToEndAsync(CancellationToken.None); // A pipe that nobody reads would stop who writes.
        try
        {
            return new ServiceProcess(process, errors, await AddressAsync(process) ?? throw new InvalidOperationException($"The service did not start: {await errors}"));
        }
        catch
        {
            process.Kill();
            throw;
        }
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
        var (exit, output, errors) = await EndAsync(arguments);
        Assert.True(exit == 0, $"{string.Join(' ', arguments)}: {exit} {output} {errors}");
        return output.Trim();
    }

    /// <summary>Runs a command that is to fail; the one line that says why.</summary>
    public static async Task<string> RefusedAsync(params string[] arguments)
    {
        var (exit, output, errors) = await EndAsync(arguments);
        Assert.True(exit == 1, $"{string.Join(' ', arguments)}: {exit} {output} {errors}");
        return Assert.Single(errors.Split('\n', StringSplitOptions.RemoveEmptyEntries));
    }

    /// <summary>Starts the service and sends SIGTERM after a while, whatever it is doing then.</summary>
    public static async Task<(int ExitCode, string Errors)> TerminateAsync(string dataFolder, TimeSpan after)
    {
        using var process = Launch("serve", "--data", dataFolder, "--port", "0");
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await Task.Delay(after, TestContext.Current.CancellationToken);
        return await TerminateAsync(process, errors);
    }

    /// <summary>SIGTERM: it is to end in good order.</summary>
    public Task<(int ExitCode, string Errors)> TerminateAsync() => TerminateAsync(_process, _errors);

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

    /// <summary>Sets a limit of the running process with prlimit(1).</summary>
    public async Task LimitAsync(string what, long most)
    {
        using var prlimit = Process.Start("prlimit", ["--pid", _process.Id.ToString(CultureInfo.InvariantCulture), string.Create(CultureInfo.InvariantCulture, $"--{what}={most}")]);
        await prlimit.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(0, prlimit.ExitCode);
    }

    public Task SignalAsync(string signal) => SignalAsync(_process, signal);

    private static async Task<(int ExitCode, string Errors)> TerminateAsync(Process process, Task<string> errors)
    {
        await SignalAsync(process, "TERM");
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return (process.ExitCode, await errors);
    }

    private static async Task SignalAsync(Process process, string signal)
    {
        using var kill = Process.Start("kill", [$"-{signal}", process.Id.ToString(CultureInfo.InvariantCulture)]);
        await kill.WaitForExitAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>Where it says that it listens; null where it ended instead.</summary>
    private static async Task<Uri?> AddressAsync(Process process)
    {
        const string prefix = "Listening on ";
        using var limit = new CancellationTokenSource(TimeSpan.FromSeconds(30));
        while (await process.StandardOutput.ReadLineAsync(limit.Token) is { } line)
            if (line.StartsWith(prefix, StringComparison.Ordinal))
                return new Uri(line[prefix.Length..]);
        return null;
    }

    private static async Task<(int ExitCode, string Output, string Errors)> EndAsync(string[] arguments)
    {
        using var process = Launch(arguments);
        try
        {
            using var limit = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
            limit.CancelAfter(TimeSpan.FromMinutes(1));
            var errors = process.StandardError.ReadToEndAsync(limit.Token);
            var output = await process.StandardOutput.ReadToEndAsync(limit.Token);
            await process.WaitForExitAsync(limit.Token);
            return (process.ExitCode, output, await errors);
        }
        finally
        {
            process.Kill(); // One that has ended is left alone.
        }
    }

    private static string[] CommandLine(params string[] arguments) => ["dotnet", Program, .. arguments];

    /// <summary>Runs a command, to be cut off.</summary>
    public static Process Launch(params string[] arguments) => Launch("dotnet", [Program, .. arguments], new Dictionary<string, string>());

    private static Process Launch(string program, string[] arguments, IReadOnlyDictionary<string, string> settings)
    {
        var start = new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (var (name, value) in settings)
            start.Environment[name] = value;
        return Process.Start(start)!;
    }
}
