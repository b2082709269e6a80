using Quartz;

namespace BackTracker.Service.Jobs;

/// <summary>
/// Has the rounds look at once when the clock was set or the machine slept. The scheduler plans by the clock: set back, it would wait for the instant
/// it had planned, hours or weeks; set forward, it would skip to the next one.
/// </summary>
internal sealed partial class ClockWatch(ISchedulerFactory schedulers, TimeProvider clock, ILogger<ClockWatch> log) : BackgroundService
{
    // By the time that passes here: the clock is what is doubted.
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan Least = TimeSpan.FromMinutes(1);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        try
        {
            var scheduler = await schedulers.GetScheduler(stoppingToken);
            var (shown, ran) = (clock.GetUtcNow(), clock.GetTimestamp());
            while (true)
            {
                await Task.Delay(LookEvery, stoppingToken);
                var off = clock.GetUtcNow() - shown - clock.GetElapsedTime(ran);
                if (off.Duration() < Least || !await StartRoundsAsync(scheduler, off))
                    continue;
                (shown, ran) = (clock.GetUtcNow(), clock.GetTimestamp());
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Told to stop, perhaps by a start that failed elsewhere.
        }
    }

    private async Task<bool> StartRoundsAsync(IScheduler scheduler, TimeSpan off)
    {
        try
        {
            foreach (var key in Scheduling.Rounds)
                if (await scheduler.GetTrigger(key, CancellationToken.None) is { } trigger)
                    await scheduler.RescheduleJob(key, trigger.GetTriggerBuilder().StartAt(clock.GetUtcNow()).Build(), CancellationToken.None);
            LogSet((long)off.TotalSeconds);
            return true;
        }
        catch (SchedulerException error)
        {
            LogTrouble(error); // The store may be away for a moment: look again in a second.
            return false;
        }
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "The clock was set by {Seconds} s, or the machine slept; the rounds look at what is due now")]
    private partial void LogSet(long seconds);

    [LoggerMessage(Level = LogLevel.Warning, Message = "The clock was set and the rounds could not be told")]
    private partial void LogTrouble(Exception error);
}
