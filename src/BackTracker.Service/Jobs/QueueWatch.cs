using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;
using Quartz;

namespace BackTracker.Service.Jobs;

/// <summary>
/// Fires the assess job when somebody waits: at once after a commit of this process, and within a second after one of another process
/// (the command line, another instance) or of a run that was killed.
/// </summary>
internal sealed partial class QueueWatch(
    ChangeSignal signal, Database database, ISchedulerFactory schedulers, TimeProvider clock, PendingRun pending, ILogger<QueueWatch> log) : BackgroundService
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(1);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        try
        {
            var scheduler = await schedulers.GetScheduler(stoppingToken);
            while (true)
            {
                await signal.WaitAsync(LookEvery, stoppingToken);
                await LookAsync(scheduler, stoppingToken);
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Told to stop, perhaps by a start that failed elsewhere: the host takes anything thrown then for a crash of this watch.
        }
    }

    private async Task LookAsync(IScheduler scheduler, CancellationToken stopping)
    {
        try
        {
            // Never cut off half-way: the scheduler stops after this watch and finishes what it was told.
            if (await AnybodyWaitsAsync(stopping) && pending.TryBegin())
                await scheduler.TriggerJob(AssessJob.Key, CancellationToken.None);
        }
        catch (Exception error) when (error is not OperationCanceledException || !stopping.IsCancellationRequested)
        {
            // The store may be away for a moment; the queue is safe in it, so look again in a second.
            LogTrouble(error);
        }
    }

    private async Task<bool> AnybodyWaitsAsync(CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        return (await WorkQueueStore.NextAsync(session, clock.GetUtcNow(), 1)).Count > 0;
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "The work queue could not be looked at")]
    private partial void LogTrouble(Exception error);
}

/// <summary>Keeps the watch from firing the job again while a run it asked for has not begun.</summary>
internal sealed class PendingRun
{
    private static readonly TimeSpan GiveUpAfter = TimeSpan.FromSeconds(30);
    private long _askedAt;

    /// <summary>True when the caller is to fire the job.</summary>
    public bool TryBegin()
    {
        var asked = Interlocked.Read(ref _askedAt);
        if (asked != 0 && Environment.TickCount64 - asked < GiveUpAfter.TotalMilliseconds)
            return false;
        return Interlocked.CompareExchange(ref _askedAt, Environment.TickCount64, asked) == asked;
    }

    /// <summary>The run has begun: whoever is queued from now on needs another.</summary>
    public void Begun() => Interlocked.Exchange(ref _askedAt, 0);
}
