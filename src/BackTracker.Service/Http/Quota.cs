using System.Collections.Concurrent;

namespace BackTracker.Service.Http;

/// <summary>What is left to a holder of a quota.</summary>
/// <param name="Granted">Whether this one was within it.</param>
/// <param name="Left">How many more are, until the minute is over.</param>
/// <param name="Seconds">Whole seconds until all of it is there again, at least one.</param>
internal readonly record struct Allowance(bool Granted, int Left, int Seconds);

/// <summary>
/// So many a minute for each holder; the minute begins with the holder's first. Whoever waits for what is said to be left is never refused.
/// </summary>
/// <param name="perMinute">How many.</param>
/// <param name="clock">The time.</param>
internal sealed class Quota<THolder>(int perMinute, TimeProvider clock) where THolder : notnull
{
    public const int Seconds = 60;

    // Beyond so many holders all is forgotten: who can come from that many addresses gains nothing by a minute begun anew, and memory is bounded.
    private const int MostHolders = 10_000;
    private readonly ConcurrentDictionary<THolder, Minute> _minutes = new();
    private int _holders;

    public int PerMinute => perMinute;

    public Allowance Take(THolder holder)
    {
        var minute = _minutes.GetOrAdd(holder, static (_, quota) => quota.NewMinute(), this);
        return minute.Take(perMinute, clock);
    }

    private Minute NewMinute()
    {
        if (Interlocked.Increment(ref _holders) > MostHolders)
        {
            _minutes.Clear();
            Interlocked.Exchange(ref _holders, 1);
        }
        return new Minute();
    }

    private sealed class Minute
    {
        private readonly Lock _one = new();
        private long _ends = long.MinValue;
        private int _taken;

        public Allowance Take(int most, TimeProvider clock)
        {
            // Not the time of day, which may be set back.
            var now = clock.GetTimestamp();
            lock (_one)
            {
                if (now >= _ends)
                    (_ends, _taken) = (now + (Seconds * clock.TimestampFrequency), 0);
                var granted = _taken < most;
                if (granted)
                    _taken++;
                return new Allowance(granted, most - _taken, (int)Math.Ceiling((_ends - now) / (double)clock.TimestampFrequency));
            }
        }
    }
}
