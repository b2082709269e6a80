using BackTracker.Service.Jobs;
using BackTracker.Storage.Outbox;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Delivery;

/// <summary>Starts a lane for every webhook that has something to be sent; a slow one holds up nobody but itself.</summary>
internal sealed partial class Pump(Database database, Lane lane, TimeProvider clock, ILogger<Pump> log) : IDisposable
{
    private const int MostAtOnce = 32;
    private readonly Dictionary<string, Task> _running = [];

    /// <summary>Raised when there may be something to start.</summary>
    public ChangeSignal Signal { get; } = new();

    /// <summary>Starts what is due and not running; returns what was started. Not for several threads at once.</summary>
    public async Task<IReadOnlyList<Task>> StartDueAsync(CancellationToken stopping)
    {
        foreach (var (id, _) in _running.Where(lane => lane.Value.IsCompleted).ToList())
            _running.Remove(id);
        IReadOnlyList<string> due;
        await using (var session = await database.ReadAsync(stopping))
            due = await LaneStore.DueAsync(session, clock.GetUtcNow());
        var started = due.Where(id => !_running.ContainsKey(id)).Take(MostAtOnce - _running.Count).ToList();
        foreach (var id in started)
            _running[id] = Task.Run(() => RunAsync(id, stopping), CancellationToken.None);
        return [.. started.Select(id => _running[id])];
    }

    /// <summary>Waits for what is under way.</summary>
    public Task FinishAsync() => Task.WhenAll(_running.Values);

    public void Dispose() => Signal.Dispose();

    private async Task RunAsync(string subscriptionId, CancellationToken stopping)
    {
        try
        {
            await lane.RunAsync(subscriptionId, stopping);
            Signal.Raise(); // There may be more for it, or others waiting for its place.
        }
        catch (Exception error)
        {
            // The store may be away for a moment; what is to be sent is safe in it, so look again in a while.
            LogTrouble(error, subscriptionId);
        }
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "Deliveries of subscription {SubscriptionId} were interrupted")]
    private partial void LogTrouble(Exception error, string subscriptionId);
}

/// <summary>Has the pump look when there may be something to send.</summary>
internal sealed partial class PumpWatch(Pump pump, Database database, TimeProvider clock, ILogger<PumpWatch> log) : BackgroundService
{
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        await new CommitWatch(database, clock, pump.Signal).RunAsync(session => session.Delivering, LookAsync, stoppingToken);
        await pump.FinishAsync();
    }

    private async Task LookAsync(CancellationToken stopping)
    {
        try
        {
            await pump.StartDueAsync(stopping);
        }
        catch (Exception error) when (!stopping.IsCancellationRequested)
        {
            LogTrouble(error);
        }
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "The deliveries could not be looked at")]
    private partial void LogTrouble(Exception error);
}
