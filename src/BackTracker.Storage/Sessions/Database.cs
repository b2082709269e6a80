using System.Data.Common;
using System.Diagnostics;
using System.Diagnostics.Metrics;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Migrations;
using BackTracker.Storage.Settings;
using Dapper;

namespace BackTracker.Storage.Sessions;

/// <summary>The store: read sessions, and write sessions that are one transaction each.</summary>
/// <param name="dialect">SQLite or PostgreSQL.</param>
/// <param name="clock">Where the time of a write comes from.</param>
public sealed class Database(Dialect dialect, TimeProvider clock)
{
    /// <summary>Name of the meter of the store.</summary>
    public const string MeterName = "BackTracker.Storage";

    private static readonly Meter Meter = new(MeterName);
    private static readonly Histogram<double> WriteWait = Meter.CreateHistogram<double>(
        "backtracker.store.write_wait", "s", "How long a change waited for the right to write.", advice: new() { HistogramBucketBoundaries = [.0001, .001, .01, .1, 1, 10] });

    private const int TrialBytes = 64 << 10;
    private volatile bool _writesFail;

    static Database() => DefaultTypeMap.MatchNamesWithUnderscores = true;

    /// <summary>Raised after a change has become lasting, with the session that made it.</summary>
    public event Action<WriteSession>? Committed;

    /// <summary>The database behind it.</summary>
    public Dialect Dialect => dialect;

    /// <summary>Creates or upgrades the schema. Call once before anything else.</summary>
    /// <exception cref="StorageException">The store is damaged, unreachable or newer than this binary.</exception>
    public async Task PrepareAsync(CancellationToken cancel)
    {
        await dialect.PrepareAsync(cancel);
        await Migrator.UpgradeAsync(dialect, cancel);
    }

    /// <summary>A session that only reads.</summary>
    public async Task<ReadSession> ReadAsync(CancellationToken cancel) => new(await dialect.OpenAsync(cancel), dialect, cancel);

    /// <summary>A session that reads the store as it is at one moment, while others go on writing.</summary>
    public async Task<ReadSession> SnapshotAsync(CancellationToken cancel)
    {
        var connection = await dialect.OpenAsync(cancel);
        return new SnapshotSession(connection, await dialect.BeginSnapshotAsync(connection, cancel), dialect, cancel);
    }

    /// <summary>A session that writes in one transaction; nothing is kept unless <see cref="WriteSession.CommitAsync"/> is reached.</summary>
    /// <param name="actor">Who writes: the id of a key, or a word for the service itself.</param>
    /// <param name="cancel">Gives up waiting for the right to write.</param>
    public async Task<WriteSession> WriteAsync(string actor, CancellationToken cancel)
    {
        var began = Stopwatch.GetTimestamp();
        try
        {
            var lease = await dialect.BeginWriteAsync(cancel);
            WriteWait.Record(Stopwatch.GetElapsedTime(began).TotalSeconds);
            return new(lease, dialect, actor, clock.GetUtcNow(), this, cancel);
        }
        catch (DbException error)
        {
            NoteFailed(error);
            throw;
        }
    }

    /// <summary>
    /// Makes a change in one transaction. Where the database gives it up because it and another waited for each other, all of it is done
    /// once more from the beginning, so the work must leave nothing behind but what it wrote.
    /// </summary>
    /// <param name="actor">Who writes: the id of a key, or a word for the service itself.</param>
    /// <param name="work">What to do; it is committed when this is over.</param>
    /// <param name="cancel">Gives up.</param>
    public async Task<T> ChangeAsync<T>(string actor, Func<WriteSession, Task<T>> work, CancellationToken cancel)
    {
        try
        {
            return await ChangeOnceAsync(actor, work, cancel);
        }
        catch (DbException error) when (dialect.IsGivenUp(error))
        {
            return await ChangeOnceAsync(actor, work, cancel);
        }
    }

    /// <summary>
    /// Makes sure that the store takes changes. Where the last one got through that is known already; where it did not, something larger than most
    /// changes is written and taken away, because a full disk or a server turned to reading shows itself by writing alone.
    /// </summary>
    /// <exception cref="DbException">It takes none.</exception>
    public async Task RefuseUnwritableAsync(CancellationToken cancel)
    {
        if (!_writesFail)
            return;
        await SetTrialAsync(new string('x', TrialBytes), cancel);
        await SetTrialAsync("", cancel);
    }

    private async Task SetTrialAsync(string value, CancellationToken cancel)
    {
        await using var session = await WriteAsync("health", cancel);
        await SettingStore.SetAsync(session, "trial-of-writing", value);
        await session.CommitAsync();
    }

    internal void NoteCommitted(WriteSession session)
    {
        _writesFail = false;
        Committed?.Invoke(session);
    }

    internal void NoteFailed(DbException error)
    {
        if (dialect.IsOutOfOrder(error))
            _writesFail = true;
    }

    private async Task<T> ChangeOnceAsync<T>(string actor, Func<WriteSession, Task<T>> work, CancellationToken cancel)
    {
        await using var session = await WriteAsync(actor, cancel);
        var result = await work(session);
        await session.CommitAsync();
        return result;
    }
}
