using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;

namespace BackTracker.Benchmarks.Load;

/// <summary>How the service stood at one moment.</summary>
/// <param name="AtSeconds">Since it is watched.</param>
/// <param name="ResidentMiB">Memory in use.</param>
/// <param name="HeapMiB">Managed heap after its last collection.</param>
/// <param name="ProcessorSeconds">Time it has had of all processors.</param>
/// <param name="QueueLength">Horses that wait to be assessed.</param>
/// <param name="QueueAgeSeconds">How long the first of them has waited.</param>
/// <param name="OutboxLength">Deliveries that wait.</param>
/// <param name="OutboxAgeSeconds">How long the first of them has waited.</param>
internal sealed record Standing(
    double AtSeconds, double ResidentMiB, double HeapMiB, double ProcessorSeconds, double QueueLength, double QueueAgeSeconds, double OutboxLength, double OutboxAgeSeconds);

/// <summary>The real service on a herd, with a key of an administrator's.</summary>
internal sealed partial class LoadedService : IDisposable
{
    private static readonly Dictionary<string, string> Settings = new()
    {
        ["BackTracker__Delivery__AllowHosts"] = "127.0.0.1",
        ["BackTracker__Backups__Nightly"] = "false",
    };

    private const int MostComplaints = 20;
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(10);
    private static readonly TimeSpan LookAgain = TimeSpan.FromMilliseconds(200);

    private readonly Server _server;

    private LoadedService(Server server, string key)
    {
        _server = server;
        Key = key;
        Http = new HttpClient(new SocketsHttpHandler { UseCookies = false }) { BaseAddress = new Uri(server.Address), Timeout = TimeSpan.FromMinutes(5) };
        Http.DefaultRequestHeaders.Authorization = new("Bearer", key);
    }

    public string Key { get; }

    /// <summary>A client with the key.</summary>
    public HttpClient Http { get; }

    public string Address => _server.Address;

    /// <summary>Prints what it complained of.</summary>
    public void ReportComplaints()
    {
        foreach (var line in _server.Complaints.Where(line => !line.Contains(" info: ", StringComparison.Ordinal)).Take(MostComplaints))
            Console.WriteLine($"the service said: {line}");
    }

    public static async Task<LoadedService> StartAsync(HerdStore store)
    {
        using var key = Server.Start(Settings, ["backtracker.dll", "key", "add", "--name", "load", "--scopes", "admin", .. store.Arguments]);
        var secret = (await key.StandardOutput.ReadToEndAsync()).Trim();
        return new LoadedService(await Server.StartAsync(Settings, ["backtracker.dll", "serve", "--port", "0", .. store.Arguments]), secret);
    }

    /// <summary>Looks how it stands.</summary>
    public async Task<Standing> LookAsync(double atSeconds)
    {
        var metrics = await Http.GetStringAsync("/metrics");
        double Sum(string name) => Sample().Matches(metrics).Where(sample => sample.Groups[1].Value == name).Sum(sample => double.Parse(sample.Groups[2].Value, CultureInfo.InvariantCulture));
        return new Standing(
            atSeconds, _server.ResidentMiB, Sum("dotnet_gc_last_collection_heap_size_bytes") / 1048576, _server.ProcessorSeconds, Sum("backtracker_work_queue_length"),
            Sum("backtracker_work_queue_oldest_age_seconds"), Sum("backtracker_outbox_length"), Sum("backtracker_outbox_oldest_age_seconds"));
    }

    /// <summary>Waits until nobody waits to be assessed or told.</summary>
    public async Task<Standing> SettledAsync()
    {
        var (watch, standing) = (Stopwatch.StartNew(), await LookAsync(0));
        for (; standing is { QueueLength: > 0 } or { OutboxLength: > 0 }; standing = await LookAsync(0))
        {
            if (watch.Elapsed > Patience)
                throw new InvalidOperationException($"After {Patience} there still wait: {standing}.");
            await Task.Delay(LookAgain);
        }
        return standing;
    }

    /// <summary>Looks again and again until it is cancelled.</summary>
    public async Task<IReadOnlyList<Standing>> WatchAsync(TimeSpan every, Func<double> seconds, CancellationToken until)
    {
        var seen = new List<Standing>();
        using var clock = new PeriodicTimer(every);
        try
        {
            do
                seen.Add(await LookAsync(seconds()));
            while (await clock.WaitForNextTickAsync(until));
        }
        catch (OperationCanceledException)
        {
            seen.Add(await LookAsync(seconds()));
        }
        return seen;
    }

    public void Dispose()
    {
        Http.Dispose();
        _server.Stop();
        _server.Dispose();
    }

    [GeneratedRegex(@"^([a-z_]+)(?:\{.*\})? (\S+)", RegexOptions.Multiline)]
    private static partial Regex Sample();
}
