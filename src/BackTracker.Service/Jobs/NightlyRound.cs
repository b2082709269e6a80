using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Features.Yards;
using BackTracker.Storage;
using BackTracker.Storage.Idempotency;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Outbox;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Jobs;

/// <summary>
/// Once a day, from 03:00 on the yard's own clock, every horse of the yard is put into the queue. The day that was done is stored with the
/// yard: a change of daylight saving, a night of downtime or a clock set back neither loses nor doubles a night.
/// </summary>
internal sealed class NightlyRound(Database database, TimeProvider clock, ChangeSignal signal, EachYard each)
{
    public static readonly TimeOnly At = new(3, 0);
    private const int LettersKeptForDays = 30;

    /// <summary>Queues the yards whose night has come; returns how many there were.</summary>
    public async Task<int> RunAsync(CancellationToken cancel)
    {
        IReadOnlyList<YardRow> yards;
        await using (var session = await database.ReadAsync(cancel))
            yards = await YardStore.AllAsync(session);
        var queued = await each.DoAsync(yards, yard => yard.Id, async yard => IsDue(yard) ? await QueueAsync(yard, cancel) : 0);
        if (queued == 0)
            return 0;
        signal.Raise();
        await ForgetOldAsync(cancel);
        return queued;
    }

    private Task<int> QueueAsync(YardRow yard, CancellationToken cancel) => database.ChangeAsync("nightly", async session =>
    {
        await YardStore.NoteNightlyAsync(session, yard.Id, DayOf(yard));
        await WorkQueueStore.AddHorsesOfYardAsync(session, yard.Id);
        return 1;
    }, cancel);

    private bool IsDue(YardRow yard) => !RoundDays.IsDone(Instants.ReadDayIfAny(yard.NightlyOn), DayOf(yard));

    /// <summary>The day whose night has come: yesterday's until 03:00.</summary>
    private DateOnly DayOf(YardRow yard)
    {
        var local = YardTime.Local(yard.TimeZone, clock.GetUtcNow());
        var day = DateOnly.FromDateTime(local);
        return TimeOnly.FromDateTime(local) >= At ? day : day.AddDays(-1);
    }

    private async Task ForgetOldAsync(CancellationToken cancel)
    {
        await using var session = await database.WriteAsync("nightly", cancel);
        await IdempotencyStore.ForgetOldAsync(session);
        await OutboxStore.ForgetOldAsync(session);
        await MessageStore.ForgetOldAsync(session, session.Now.AddDays(-LettersKeptForDays), session.Now.AddDays(-ConfirmBody.WorksForDays));
        await session.CommitAsync();
    }
}
