using System.Net.ServerSentEvents;
using System.Runtime.CompilerServices;

namespace BackTracker.Service.Http;

/// <summary>How far long work is, as server-sent events: told again whenever it is further, until it is over, nobody listens, or the service stops.</summary>
internal sealed class Followed(TimeProvider clock, IHostApplicationLifetime lifetime)
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(500);

    /// <summary>The stream.</summary>
    /// <param name="first">How it stands.</param>
    /// <param name="lookAsync">How it stands then; null where it is gone, which ends the stream.</param>
    /// <param name="isOver">Whether it is over.</param>
    /// <param name="cancel">Nobody listens any more.</param>
    public IResult Stream<T>(T first, Func<CancellationToken, Task<T?>> lookAsync, Func<T, bool> isOver, CancellationToken cancel) where T : class =>
        TypedResults.ServerSentEvents(FollowAsync(first, lookAsync, isOver, cancel));

    private async IAsyncEnumerable<SseItem<string>> FollowAsync<T>(T first, Func<CancellationToken, Task<T?>> lookAsync, Func<T, bool> isOver, [EnumeratorCancellation] CancellationToken cancel) where T : class
    {
        var told = "";
        for (T? now = first; now is not null; now = await lookAsync(cancel))
        {
            if (Json.Write(now) is var text && text != told)
                yield return new SseItem<string>(told = text);
            if (isOver(now) || !await WaitAsync(cancel))
                yield break;
        }
    }

    /// <summary>Waits for the next look; false where the service stops, which must not wait for whoever listens.</summary>
    private async Task<bool> WaitAsync(CancellationToken cancel)
    {
        using var either = CancellationTokenSource.CreateLinkedTokenSource(cancel, lifetime.ApplicationStopping);
        try
        {
            await Task.Delay(LookEvery, clock, either.Token);
            return true;
        }
        catch (OperationCanceledException) when (lifetime.ApplicationStopping.IsCancellationRequested)
        {
            return false;
        }
    }
}
