using System.Collections.Concurrent;

namespace BackTracker.Storage;

/// <summary>Lets another thread make the items of a sequence a little ahead of whoever takes them; at most some thousand wait.</summary>
public static class Ahead
{
    private const int ItemsAtOnce = 256;
    private const int MostWaiting = 4;

    /// <summary>The same items in the same order. Nobody else may touch meanwhile what they are made from.</summary>
    public static IEnumerable<T> Of<T>(IEnumerable<T> items)
    {
        using var ready = new BlockingCollection<T[]>(MostWaiting);
        using var stop = new CancellationTokenSource();
        var work = Task.Run(() => Make(items, ready, stop.Token), CancellationToken.None);
        try
        {
            foreach (var some in ready.GetConsumingEnumerable())
                foreach (var item in some)
                    yield return item;
            work.GetAwaiter().GetResult();
        }
        finally
        {
            // Whoever stops early, or fails, does not leave a thread behind that still reads.
            stop.Cancel();
            ((IAsyncResult)work).AsyncWaitHandle.WaitOne();
        }
    }

    private static void Make<T>(IEnumerable<T> items, BlockingCollection<T[]> ready, CancellationToken stop)
    {
        try
        {
            foreach (var some in items.Chunk(ItemsAtOnce))
                ready.Add(some, stop);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            // Nobody takes any more.
        }
        finally
        {
            ready.CompleteAdding();
        }
    }
}
