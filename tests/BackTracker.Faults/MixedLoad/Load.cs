using System.Diagnostics;
using System.Text.Json.Nodes;

namespace BackTracker.Faults.MixedLoad;

/// <summary>People who write until the service is gone, beginning with what they do not know the outcome of.</summary>
internal sealed class Load(LoadYard yard, Ledger ledger, int seed)
{
    private const int Writers = 4;
    private int _rounds;

    /// <summary>How long the longest answer took.</summary>
    public TimeSpan Longest { get; private set; }

    /// <summary>Writes until the service is gone, or until told to end.</summary>
    public Task RunAsync(Client client, CancellationToken until = default)
    {
        var round = Interlocked.Increment(ref _rounds);
        return Task.WhenAll(Enumerable.Range(0, Writers).Select(writer => Task.Run(() => WriteAsync(client, new Random(HashCode.Combine(seed, round, writer)), until), CancellationToken.None)));
    }

    /// <summary>Sends again what nobody can say of, until everything is known.</summary>
    public async Task SettleAsync(Client client)
    {
        while (ledger.Unsettled.TryDequeue(out var work))
            Assert.True(await DoAsync(client, work), $"{work.Method} {work.Path} was not answered although nobody killed anything.");
    }

    private async Task WriteAsync(Client client, Random random, CancellationToken until)
    {
        while (!until.IsCancellationRequested)
        {
            var work = ledger.Unsettled.TryDequeue(out var again) ? again : await yard.NextAsync(client, random);
            if (work is null && await client.IsGoneAsync() || work is not null && !await DoAsync(client, work))
                return;
        }
    }

    private async Task<bool> DoAsync(Client client, Work work)
    {
        var began = Stopwatch.GetTimestamp();
        if (await client.TryAsync(work) is not { } answer)
        {
            ledger.Doubt(work);
            return false;
        }
        NoteTime(Stopwatch.GetElapsedTime(began));
        if (answer.Status == 503 && IsProblem(answer.Text))
            ledger.Doubt(work);
        else if (answer.Status is 200 or 201)
            Note(work, JsonNode.Parse(answer.Text)!["id"]!.GetValue<string>());
        else if (work.MayBeRefused && answer.Status is 409 or 412 or 422)
            ledger.Refuse();
        else
            throw new InvalidOperationException($"{work.Method} {work.Path} {work.Body}: {answer.Status} {answer.Text}");
        return true;
    }

    private static bool IsProblem(string text) => JsonNode.Parse(text)!["type"]?.GetValue<string>() == "urn:backtracker:problem:not-ready";

    private void NoteTime(TimeSpan taken)
    {
        lock (ledger)
            Longest = taken > Longest ? taken : Longest;
    }

    private void Note(Work work, string id)
    {
        ledger.Acknowledge(work, id);
        if (work.Kind == WorkKind.Register)
            yard.Add(id);
        else if (work.Kind is WorkKind.Measure or WorkKind.Observe or WorkKind.Ride)
            yard.AddMistake(work.Kind switch { WorkKind.Measure => "/v1/measurements", WorkKind.Observe => "/v1/observations", _ => "/v1/rides" }, id);
    }
}
