using System.Collections.Concurrent;
using System.Diagnostics;
using System.Net.Http.Json;
using System.Text.Json.Nodes;

namespace BackTracker.Benchmarks.Load;

/// <summary>
/// How soon a measurement has its effect while so many are posted a second: until the assessment that read it is stored, and until a receiver has been
/// told of what that assessment decided, which is later than the event stands in the outbox.
/// </summary>
internal static class Promptness
{
    private const string Recorded = "backtracker.measurement.";

    public static async Task ReportAsync(LoadedService service, HerdStore store, IReadOnlyList<LoadYard> yards, Hooks hooks, LoadOptions options)
    {
        var (before, bytes) = (await service.LookAsync(0), await store.BytesAsync());
        var (posted, slow) = await PostAsync(service, yards, options);
        var after = await service.SettledAsync();
        var assessed = new Dictionary<string, DateTimeOffset>();
        foreach (var horseId in posted.Values.Select(one => one.HorseId).Distinct())
            await AddAssessedAsync(service, horseId, assessed);
        var told = hooks.Told.Where(one => !one.Type.StartsWith(Recorded, StringComparison.Ordinal)).GroupBy(one => (one.HorseId, one.HappenedAt)).ToDictionary(of => of.Key, of => of.Min(one => one.ArrivedAt));
        List<double> toAssessed = [], toTold = [];
        foreach (var (id, (horseId, at)) in posted)
        {
            toAssessed.Add((assessed[id] - at).TotalMilliseconds);
            if (told.TryGetValue((horseId, assessed[id]), out var arrived))
                toTold.Add((arrived - at).TotalMilliseconds);
        }
        Say.Line($"{posted.Count} measurements at {options.Writes} a second, answered in {Calls.Quantile(slow, .5):F0} ms (p50), {Calls.Quantile(slow, .99):F0} ms (p99); {(after.ProcessorSeconds - before.ProcessorSeconds) * 1000 / posted.Count:F1} ms of processor and {(await store.BytesAsync() - bytes) / posted.Count} bytes on disk for each, its assessment and all that is told of it");
        Say.Line($"posted until its assessment is written: p50 {Calls.Quantile(toAssessed, .5):F0} ms, p99 {Calls.Quantile(toAssessed, .99):F0} ms, max {Calls.Quantile(toAssessed, 1):F0} ms");
        Say.Line($"posted until a receiver was told of what the assessment decided ({toTold.Count} times): p50 {Calls.Quantile(toTold, .5):F0} ms, p99 {Calls.Quantile(toTold, .99):F0} ms, max {Calls.Quantile(toTold, 1):F0} ms");
    }

    private static async Task<(ConcurrentDictionary<string, (string HorseId, DateTimeOffset At)> Posted, ConcurrentBag<double> Ms)> PostAsync(LoadedService service, IReadOnlyList<LoadYard> yards, LoadOptions options)
    {
        var (posted, ms, watch, under) = (new ConcurrentDictionary<string, (string, DateTimeOffset)>(), new ConcurrentBag<double>(), Stopwatch.StartNew(), new List<Task>());
        var herd = yards.SelectMany(yard => yard.Horses.Select(horse => (yard, horse))).ToList();
        var count = (int)(options.Writes * options.Length.TotalSeconds);
        for (var i = 0; i < count; i++)
        {
            if (((double)i / options.Writes) - watch.Elapsed.TotalSeconds is > 0 and var early)
                await Task.Delay(TimeSpan.FromSeconds(early));
            var (yard, horse) = herd[i * 37 % herd.Count];
            under.Add(OneAsync(yard, horse, new Random(i)));
        }
        await Task.WhenAll(under);
        return (posted, ms);

        async Task OneAsync(LoadYard yard, LoadHorse horse, Random random)
        {
            var at = DateTimeOffset.UtcNow;
            using var answer = await service.Http.PostAsJsonAsync($"/v1/horses/{horse.Id}/measurements", Visitor.Measurement(yard, random));
            ms.Add((DateTimeOffset.UtcNow - at).TotalMilliseconds);
            posted[Installation.Text(JsonNode.Parse(await answer.EnsureSuccessStatusCode().Content.ReadAsStringAsync())!, "id")] = (horse.Id, at);
        }
    }

    /// <summary>Notes when each measurement of a horse was first read by an assessment that was stored.</summary>
    private static async Task AddAssessedAsync(LoadedService service, string horseId, Dictionary<string, DateTimeOffset> assessed)
    {
        foreach (var assessment in await Installation.AllAsync(service.Http, $"/v1/horses/{horseId}/assessments?limit=500"))
            foreach (var measurement in assessment["inputs"]!["measurements"]!.AsArray())
                assessed.TryAdd(Installation.Text(measurement!, "id"), DateTimeOffset.Parse(Installation.Text(assessment, "createdAt"), null));
    }
}
