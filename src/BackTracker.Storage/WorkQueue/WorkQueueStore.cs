using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.WorkQueue;

/// <summary>A horse waiting to be assessed again.</summary>
public sealed record QueuedHorse
{
    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>Grows with every change, so that a change during an assessment is not lost.</summary>
    public long Generation { get; init; }

    /// <summary>Since when it waits.</summary>
    public string EnqueuedAt { get; init; } = "";
}

/// <summary>How it stands with the horses of a yard.</summary>
public sealed record QueuedYard
{
    /// <summary>Horses that wait to be assessed and need not wait longer.</summary>
    public long Waiting { get; init; }

    /// <summary>Those and all that are looked after.</summary>
    public long Horses { get; init; }
}

/// <summary>
/// Horses to assess again; survives a kill because it is written with the change that asks for it. Whoever writes several takes them in the
/// order of their ids, and before the records of the horses, so that two writers never wait for each other.
/// </summary>
public static class WorkQueueStore
{
    private static readonly TimeSpan PutOffFor = TimeSpan.FromMinutes(5);

    // Nobody is put off for twice as long: whoever waits until then was asked for before the clock was set back.
    private const string IsDue = "(q.enqueued_at <= @now or q.enqueued_at > @beyond)";

    /// <summary>Asks for one horse.</summary>
    public static Task AddHorseAsync(WriteSession session, string horseId) =>
        AddAsync(session, "select id from horses where id = @id", horseId);

    /// <summary>Asks for every horse a saddle is or was paired with, or is being made for.</summary>
    public static Task AddHorsesOfSaddleAsync(WriteSession session, string saddleId) =>
        AddAsync(session, "select horse_id from pairings where saddle_id = @id union select horse_id from commissions where saddle_id = @id", saddleId);

    /// <summary>Asks for every horse the saddle of a pairing is or was paired with.</summary>
    public static Task AddHorsesOfPairingAsync(WriteSession session, string pairingId) =>
        AddAsync(session, "select distinct horse_id from pairings where saddle_id = (select p.saddle_id from pairings p where p.id = @id)", pairingId);

    /// <summary>Asks for every active horse of a yard.</summary>
    public static Task AddHorsesOfYardAsync(WriteSession session, string yardId) =>
        AddAsync(session, "select id from horses where yard_id = @id and status = 'active'", yardId);

    /// <summary>Asks for many horses.</summary>
    public static Task AddHorsesAsync(WriteSession session, IReadOnlyCollection<string> horseIds) => AddAmongAsync(session, horseIds, "1 = 1");

    /// <summary>Asks for those of many horses that are looked after.</summary>
    public static Task AddActiveHorsesAsync(WriteSession session, IReadOnlyCollection<string> horseIds) => AddAmongAsync(session, horseIds, "status = 'active'");

    private static async Task AddAmongAsync(WriteSession session, IReadOnlyCollection<string> horseIds, string condition)
    {
        foreach (var some in horseIds.Order(StringComparer.Ordinal).Chunk(500))
            await AddAsync(session, $"select id from horses where {session.Among("id", "some")} and {condition}", new { some, now = session.NowText });
    }

    /// <summary>The horses that have waited longest and need not wait longer.</summary>
    public static Task<IReadOnlyList<QueuedHorse>> NextAsync(ReadSession session, DateTimeOffset now, int count) => session.ListAsync<QueuedHorse>(
        $"select q.horse_id, q.generation, q.enqueued_at from work_queue q where {IsDue} order by q.enqueued_at, q.horse_id limit @count",
        new { now = Instants.Write(now), beyond = Beyond(now), count });

    /// <summary>How many wait.</summary>
    public static Task<long> CountAsync(ReadSession session) => session.FirstAsync<long>("select count(*) from work_queue");

    /// <summary>Since when the horse waits that has waited longest; null where none waits.</summary>
    public static Task<string?> OldestAsync(ReadSession session) => session.FirstAsync<string>("select min(enqueued_at) from work_queue");

    /// <summary>How it stands with the horses of a yard.</summary>
    public static async Task<QueuedYard> OfYardAsync(ReadSession session, string yardId, DateTimeOffset now) => (await session.FirstAsync<QueuedYard>(
        $"""
        select count(q.horse_id) as waiting, count(*) as horses from horses h left join work_queue q on q.horse_id = h.id and {IsDue}
        where h.yard_id = @yardId and (h.status = 'active' or q.horse_id is not null)
        """,
        new { yardId, now = Instants.Write(now), beyond = Beyond(now) }))!;

    /// <summary>Takes a horse off; false when it was asked for again meanwhile.</summary>
    public static async Task<bool> RemoveAsync(WriteSession session, QueuedHorse horse) => await session.ExecuteAsync(
        "delete from work_queue where horse_id = @HorseId and generation = @Generation", horse) == 1;

    /// <summary>Puts a horse off for five minutes whose assessment failed, so that it does not hold up the others.</summary>
    public static Task PutOffAsync(WriteSession session, QueuedHorse horse) => session.ExecuteAsync(
        "update work_queue set enqueued_at = @until where horse_id = @HorseId and generation = @Generation",
        new { horse.HorseId, horse.Generation, until = Instants.Write(session.Now + PutOffFor) });

    private static string Beyond(DateTimeOffset now) => Instants.Write(now + (2 * PutOffFor));

    // What was put off is worth another look at once when something changed: it may have been mended.
    private static Task AddAsync(WriteSession session, string horses, string id) => AddAsync(session, horses, new { id, now = session.NowText });

    private static async Task AddAsync(WriteSession session, string horses, object values)
    {
        await session.ExecuteAsync(
            $"""
            insert into work_queue (horse_id, generation, enqueued_at)
            select h.id, 1, @now from ({horses.Replace("horse_id", "horse_id as id", StringComparison.Ordinal)}) h where true order by h.id
            on conflict (horse_id) do update set generation = work_queue.generation + 1,
                enqueued_at = case when work_queue.enqueued_at > @now then @now else work_queue.enqueued_at end
            """,
            values);
        session.Queued = true;
    }
}
