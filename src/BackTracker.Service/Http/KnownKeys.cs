using System.Collections.Concurrent;
using System.Diagnostics;
using BackTracker.Storage.Keys;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Http;

/// <summary>
/// Keys as the store had them less than a second ago, so that a busy program does not have its key read at every request. A key that is
/// ended in this process is forgotten with the commit; one that another process ends works for that second more.
/// </summary>
internal sealed class KnownKeys
{
    private const int Most = 10_000;
    private static readonly TimeSpan Trusted = TimeSpan.FromSeconds(1);

    private readonly Database _database;
    private readonly ConcurrentDictionary<string, Known> _bySecret = new();
    private long _generation;

    public KnownKeys(Database database)
    {
        _database = database;
        database.Committed += Forget;
    }

    /// <summary>The key with this secret; null where there is none.</summary>
    public ValueTask<KnownKey?> FindAsync(string secret, CancellationToken cancel) =>
        _bySecret.TryGetValue(secret, out var known) && Stopwatch.GetElapsedTime(known.ReadAt) < Trusted ? new(known.Key) : new(ReadAsync(secret, cancel));

    private async Task<KnownKey?> ReadAsync(string secret, CancellationToken cancel)
    {
        var (readAt, generation) = (Stopwatch.GetTimestamp(), Interlocked.Read(ref _generation));
        await using var session = await _database.ReadAsync(cancel);
        if (await KeyStore.FindByHashAsync(session, KeySecret.Hash(secret)) is not { } row)
            return null;
        var key = new KnownKey(row, Caller.OfKey(row));
        // What was read while a key was ended may be from before.
        if (generation == Interlocked.Read(ref _generation))
            Keep(secret, new Known(key, readAt));
        return key;
    }

    private void Keep(string secret, Known known)
    {
        if (_bySecret.Count >= Most)
            _bySecret.Clear();
        _bySecret[secret] = known;
    }

    private void Forget(WriteSession session)
    {
        if (!session.KeysChanged)
            return;
        Interlocked.Increment(ref _generation);
        _bySecret.Clear();
    }

    private sealed record Known(KnownKey Key, long ReadAt);
}

/// <summary>A key and who asks with it.</summary>
/// <param name="Row">As the store has it.</param>
/// <param name="Caller">Who asks.</param>
internal sealed record KnownKey(KeyRow Row, Caller Caller);
