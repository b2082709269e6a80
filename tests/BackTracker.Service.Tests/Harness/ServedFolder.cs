using System.Diagnostics;
using System.Net.Http.Headers;

namespace BackTracker.Service.Tests.Harness;

/// <summary>The built program serving a store of a test's own, as an operator would run it.</summary>
internal sealed class ServedFolder : IAsyncDisposable
{
    private readonly TestStore _place;
    private readonly List<string> _outputLines = [];
    private Process? _process;
    private Task<string> _error = Task.FromResult("");

    private ServedFolder(TestStore place) => _place = place;

    public string Folder => _place.Folder;

    public string Address { get; private set; } = "";

    /// <summary>All lines of standard output so far.</summary>
    public IReadOnlyList<string> OutputLines => _outputLines;

    /// <summary>What it has logged; there once it has ended.</summary>
    public Task<string> LogAsync() => _error;

    /// <summary>Settings as environment variables, taken at the next start.</summary>
    public Dictionary<string, string> Environment { get; } = [];

    /// <summary>Further options of the command line, taken at the next start.</summary>
    public IReadOnlyList<string> Options { get; set; } = [];

    public static async Task<ServedFolder> StartAsync(StoreKind kind = StoreKind.Sqlite)
    {
        var served = await EmptyAsync(kind);
        await served.ServeAsync();
        return served;
    }

    /// <summary>A store that nobody serves yet.</summary>
    public static async Task<ServedFolder> EmptyAsync(StoreKind kind = StoreKind.Sqlite) => new(await TestStore.CreateAsync(kind));

    /// <summary>Runs a command on the store.</summary>
    public Task<CommandRun> RunAsync(params string[] arguments) => CommandRun.OfAsync([.. arguments, .. Store]);

    /// <summary>Starts the service and waits for its address.</summary>
    public async Task ServeAsync()
    {
        _process = CommandRun.Start(["serve", "--port", "0", .. Options, .. Store], Environment);
        _error = _process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var line = await _process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken)
            ?? throw new InvalidOperationException($"The service did not start: {await _error}");
        Assert.StartsWith("Listening on http", line, StringComparison.Ordinal);
        _outputLines.Add(line);
        Address = line["Listening on ".Length..];
    }

    /// <summary>Asks the service to end and returns its exit code.</summary>
    public async Task<int> StopAsync()
    {
        var process = _process!;
        _process = null;
        using (var kill = Process.Start("kill", ["-TERM", process.Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]))
            await kill.WaitForExitAsync(TestContext.Current.CancellationToken);
        _outputLines.AddRange((await process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken)).Split('\n', StringSplitOptions.RemoveEmptyEntries));
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        using (process)
            return process.ExitCode;
    }

    /// <summary>A client with a new key that may do everything.</summary>
    public async Task<ApiClient> AdminAsync() => ClientFor((await RunAsync("key", "add", "--name", "tests", "--scopes", "admin")).ShouldSucceed().Lines.Single());

    public ApiClient ClientFor(string secret)
    {
        var http = new HttpClient { BaseAddress = new Uri(Address) };
        http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", secret);
        return new ApiClient(http);
    }

    private string[] Store => _place.Connection is { } connection ? ["--data", Folder, "--database", connection] : ["--data", Folder];

    public async ValueTask DisposeAsync()
    {
        if (_process is not null)
        {
            _process.Kill();
            await _process.WaitForExitAsync();
            _process.Dispose();
        }
        await _place.DisposeAsync();
    }
}
