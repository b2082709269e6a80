using BackTracker.Service.Http;

namespace BackTracker.Service.Hosting;

/// <summary>
/// Ends the service without cutting anybody off: told to stop, it goes on to listen, so that whoever shares out requests sees that it is not
/// ready, takes nothing new, and lets what is under way come to its end.
/// </summary>
internal sealed class Drain(IHostApplicationLifetime lifetime) : IHostedLifecycleService
{
    /// <summary>How long requests under way may take when the service is told to stop.</summary>
    public static readonly TimeSpan Patience = TimeSpan.FromSeconds(10);

    private readonly TaskCompletionSource _empty = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private int _underWay;

    /// <summary>Requests under way, probes of health apart.</summary>
    public int UnderWay => Volatile.Read(ref _underWay);

    public bool IsStopping => lifetime.ApplicationStopping.IsCancellationRequested;

    /// <summary>Lets a request through and counts it, or refuses it where the service is to stop.</summary>
    public async Task CountAsync(HttpContext http, RequestDelegate next)
    {
        if (http.Request.Path.StartsWithSegments("/health"))
        {
            await next(http);
            return;
        }
        Interlocked.Increment(ref _underWay);
        try
        {
            if (IsStopping)
                throw new ProblemException(ProblemKind.NotReady, "The service is stopping. Nothing of the request was kept; try again in a few seconds.");
            await next(http);
        }
        finally
        {
            if (Interlocked.Decrement(ref _underWay) == 0 && IsStopping)
                _empty.TrySetResult();
        }
    }

    public async Task StoppingAsync(CancellationToken cancellationToken)
    {
        lifetime.StopApplication();
        if (UnderWay > 0)
            await Task.WhenAny(_empty.Task, Task.Delay(Patience, cancellationToken));
    }

    public Task StartingAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StartedAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StoppedAsync(CancellationToken cancellationToken) => Task.CompletedTask;
}
