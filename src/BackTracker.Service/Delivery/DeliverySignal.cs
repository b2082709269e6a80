namespace BackTracker.Service.Delivery;

/// <summary>Wakes the pump at once after a commit; the deliveries table, not this, is what survives a kill.</summary>
internal sealed class DeliverySignal
{
    private TaskCompletionSource _raised = Lowered();

    public void Raise() => Volatile.Read(ref _raised).TrySetResult();

    /// <summary>Waits until it is raised, or for the time after which to look anyway.</summary>
    public async Task WaitAsync(TimeSpan atMost, TimeProvider clock, CancellationToken cancel)
    {
        using var over = CancellationTokenSource.CreateLinkedTokenSource(cancel);
        await Task.WhenAny(Volatile.Read(ref _raised).Task, Task.Delay(atMost, clock, over.Token));
        await over.CancelAsync();
        cancel.ThrowIfCancellationRequested();
        // Lowered before the caller looks: what is raised from here on has it look once more.
        Volatile.Write(ref _raised, Lowered());
    }

    private static TaskCompletionSource Lowered() => new(TaskCreationOptions.RunContinuationsAsynchronously);
}
