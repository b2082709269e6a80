namespace BackTracker.Service.Jobs;

/// <summary>Wakes a worker at once after a commit; the table it works from, not this, is what survives a kill.</summary>
internal sealed class ChangeSignal : IDisposable
{
    private readonly SemaphoreSlim _raised = new(0, 1);

    public void Raise()
    {
        try
        {
            _raised.Release();
        }
        catch (SemaphoreFullException)
        {
            // Already raised and not yet seen: one wake-up serves both.
        }
    }

    /// <summary>Waits for a change, or for the time after which to look anyway.</summary>
    public Task WaitAsync(TimeSpan atMost, CancellationToken cancel) => _raised.WaitAsync(atMost, cancel);

    public void Dispose() => _raised.Dispose();
}
