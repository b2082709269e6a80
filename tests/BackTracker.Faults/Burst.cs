using System.Collections.Concurrent;
using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Faults.MixedLoad;

namespace BackTracker.Faults;

/// <summary>Writers who measure one horse, and what each of them was told.</summary>
internal sealed class Burst(MeasuredHorse horse)
{
    private readonly ConcurrentDictionary<string, Work> _asked = new();
    private readonly ConcurrentDictionary<string, string> _taken = new();
    private int _number;
    private int _refused;

    /// <summary>How many were acknowledged.</summary>
    public int Taken => _taken.Count;

    /// <summary>How many were told that nothing can be kept at the moment.</summary>
    public int Refused => Volatile.Read(ref _refused);

    /// <summary>Ids that were acknowledged.</summary>
    public HashSet<string> Ids => [.. _taken.Values];

    /// <summary>Several at once, each until it is told to stop or the service is gone.</summary>
    public Task RunAsync(Client client, int writers, Func<bool> goesOn) => Task.WhenAll(Enumerable.Range(0, writers).Select(_ => Task.Run(async () =>
    {
        while (goesOn() && await AskAsync(client) != 0)
        {
        }
    })));

    /// <summary>One more; the status of the answer, 0 where there was none.</summary>
    public Task<int> AskAsync(Client client)
    {
        var number = Interlocked.Increment(ref _number);
        var work = horse.Measure(string.Create(CultureInfo.InvariantCulture, $"work-{number}"), number);
        _asked[work.Key] = work;
        return SendAsync(client, work);
    }

    /// <summary>Everything acknowledged is there, and everything asked for is there once after it was asked for again.</summary>
    /// <returns>What was found, in words.</returns>
    public async Task<string> SettleAsync(Client client)
    {
        var (taken, stored) = (Ids, await horse.IdsAsync(client));
        Assert.Subset(stored, taken);
        foreach (var work in _asked.Values)
        {
            var before = _taken.GetValueOrDefault(work.Key);
            Assert.Equal(201, await SendAsync(client, work));
            Assert.True(before is null || before == _taken[work.Key], $"{work.Key} made {before} and then {_taken[work.Key]}.");
        }
        Assert.Equal(Ids.Order(StringComparer.Ordinal), (await horse.IdsAsync(client)).Order(StringComparer.Ordinal));
        Assert.Equal(_asked.Count, Taken);
        await horse.AssessedAsync(client, Ids);
        return string.Create(CultureInfo.InvariantCulture, $"{_asked.Count} asked for, {taken.Count} acknowledged, {Refused} refused, {stored.Count} stored; 0 lost, 0 doubled.");
    }

    private async Task<int> SendAsync(Client client, Work work)
    {
        if (await client.TryAsync(work) is not { } answer)
            return 0; // Whether it was kept, nobody was told.
        if (answer.Status == 201)
            _taken[work.Key] = JsonNode.Parse(answer.Text)!["id"]!.GetValue<string>();
        else if (answer.Status == 503 && JsonNode.Parse(answer.Text)!["type"]!.GetValue<string>() == "urn:backtracker:problem:not-ready")
            Interlocked.Increment(ref _refused);
        else
            throw new InvalidOperationException($"{work.Key}: {answer.Status} {answer.Text}");
        return answer.Status;
    }
}
