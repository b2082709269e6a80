using System.Collections.Concurrent;
using System.Diagnostics;
using System.Net;

namespace BackTracker.Benchmarks.Load;

/// <summary>What came of some traffic.</summary>
/// <param name="Calls">Every request.</param>
/// <param name="Standings">How the service stood meanwhile.</param>
/// <param name="Faults">Answers that were not to be expected, the first of them.</param>
/// <param name="Seconds">How long it went on.</param>
/// <param name="ClientProcessorSeconds">Processor time of those who asked.</param>
internal sealed record Traffic(IReadOnlyList<Call> Calls, IReadOnlyList<Standing> Standings, IReadOnlyCollection<string> Faults, double Seconds, double ClientProcessorSeconds);

/// <summary>Many visitors at once: each goes on when it has been answered, or they share out the acts of a fixed rate.</summary>
internal static class Crowd
{
    public static async Task<Traffic> LetInAsync(LoadedService service, IReadOnlyList<LoadYard> yards, LoadOptions options, TimeSpan watchEvery)
    {
        using var pages = new HttpClient(new SocketsHttpHandler { CookieContainer = new CookieContainer() }) { BaseAddress = new Uri(service.Address) };
        await PageTimes.SignInAsync(pages, service.Key);
        var (watch, faults) = (Stopwatch.StartNew(), new ConcurrentQueue<string>());
        var began = Process.GetCurrentProcess().TotalProcessorTime;
        var visitors = Enumerable.Range(0, options.Workers).Select(i => new Visitor(service, pages, yards, () => watch.Elapsed.TotalSeconds, faults, options, i)).ToList();
        using var until = new CancellationTokenSource();
        var standings = service.WatchAsync(watchEvery, () => watch.Elapsed.TotalSeconds, until.Token);
        var ticket = -1L;
        await Task.WhenAll(visitors.Select(visitor => Task.Run(() => options.Rate > 0
            ? ActOnTimeAsync(visitor, () => Interlocked.Increment(ref ticket) / (double)options.Rate, watch, options.Length)
            : ActOnAnswersAsync(visitor, watch, options.Length))));
        var seconds = watch.Elapsed.TotalSeconds;
        await until.CancelAsync();
        return new Traffic([.. visitors.SelectMany(visitor => visitor.Calls)], await standings, faults, seconds, (Process.GetCurrentProcess().TotalProcessorTime - began).TotalSeconds);
    }

    private static async Task ActOnAnswersAsync(Visitor visitor, Stopwatch watch, TimeSpan length)
    {
        while (watch.Elapsed < length)
            await visitor.ActAsync(null);
    }

    /// <summary>An act that could not be begun in time counts from when it was due: those who wait are not left out of the figures.</summary>
    private static async Task ActOnTimeAsync(Visitor visitor, Func<double> next, Stopwatch watch, TimeSpan length)
    {
        for (var due = next(); due < length.TotalSeconds; due = next())
        {
            if (due - watch.Elapsed.TotalSeconds is > 0 and var early)
                await Task.Delay(TimeSpan.FromSeconds(early));
            await visitor.ActAsync(due);
        }
    }
}
