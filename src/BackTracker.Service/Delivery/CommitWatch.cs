using BackTracker.Service.Jobs;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Delivery;

/// <summary>Has somebody look for work at once after a commit of this process that made some, and every five seconds for what others wrote and for what is to be tried again.</summary>
/// <param name="database">Whose commits.</param>
/// <param name="clock">The time.</param>
/// <param name="signal">Raised to have a look.</param>
internal sealed class CommitWatch(Database database, TimeProvider clock, ChangeSignal signal)
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(5);

    /// <summary>Watches until told to stop.</summary>
    /// <param name="makesWork">Whether a commit made some.</param>
    /// <param name="look">Looks for it.</param>
    /// <param name="stopping">Tells to stop.</param>
    public async Task RunAsync(Func<WriteSession, bool> makesWork, Func<CancellationToken, Task> look, CancellationToken stopping)
    {
        database.Committed += Notice;
        try
        {
            await using var timer = clock.CreateTimer(_ => signal.Raise(), null, LookEvery, LookEvery);
            for (signal.Raise(); ; await look(stopping))
                await signal.WaitAsync(Timeout.InfiniteTimeSpan, stopping);
        }
        catch when (stopping.IsCancellationRequested)
        {
            // Told to stop; whoever looked has given back what that cut off.
        }
        finally
        {
            database.Committed -= Notice;
        }

        void Notice(WriteSession session)
        {
            if (makesWork(session))
                signal.Raise();
        }
    }
}
