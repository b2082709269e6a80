using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults.MixedLoad;

/// <summary>Holds what is stored and what was told against what was acknowledged.</summary>
internal sealed class Reckoning(Client client, LoadYard yard, Ledger ledger, Receiver receiver)
{
    /// <summary>None lost, none doubled, none that nobody asked for. Only once nothing is unsettled.</summary>
    public async Task StoredAsync()
    {
        Assert.Empty(ledger.Unsettled);
        var acknowledged = ledger.Read();
        var voided = acknowledged.Where(line => line.Kind == WorkKind.Void).ToDictionary(line => line.Id, line => line.Key);
        foreach (var (kind, collection, marked) in new[] { (WorkKind.Measure, "measurements", "note"), (WorkKind.Observe, "observations", "note"), (WorkKind.Ride, "rides", ""), (WorkKind.Register, "horses", "name") })
        {
            var wanted = acknowledged.Where(line => line.Kind == kind).ToDictionary(line => line.Id, line => line.Key);
            var items = (await client.AllAsync($"/v1/{collection}?yardId={yard.YardId}&limit=500")).Where(item => !yard.FirstHorses.Contains(Id(item))).ToList();
            Assert.Equal(wanted.Keys.Order(StringComparer.Ordinal), items.Select(Id).Order(StringComparer.Ordinal));
            Assert.All(items, item => Assert.True(marked.Length == 0 || item[marked]!.GetValue<string>() == wanted[Id(item)], $"{item.ToJsonString()} is not what {wanted[Id(item)]} asked for."));
            Assert.All(items, item => Assert.Equal(voided.GetValueOrDefault(Id(item)), item["voidReason"]?.GetValue<string>()));
        }
        await BookingsAsync(acknowledged);
    }

    /// <summary>Waits until the latest assessment of every horse has read all that counts.</summary>
    public async Task AssessedAsync()
    {
        foreach (var horse in (await client.AllAsync($"/v1/measurements?yardId={yard.YardId}&limit=500")).GroupBy(m => m["horseId"]!.GetValue<string>()))
            await new MeasuredHorse(horse.Key, "").AssessedAsync(client, [.. horse.Where(m => m["voidedAt"] is null).Select(Id)]);
    }

    /// <summary>Waits until everything was told, then holds it to its order. Returns what was told and how much of it again.</summary>
    public async Task<(int Events, int Again)> ToldAsync()
    {
        var wanted = ledger.Read().Where(line => line.Kind is WorkKind.Measure or WorkKind.Book).Select(line => line.Id).CountBy(id => id).ToDictionary();
        var left = wanted.Count;
        await Eventually.TrueAsync(() => Task.FromResult((left = Untold(wanted)) == 0), () => $"{left} things were never told, of {receiver.Received.Count} that were.", withinSeconds: 120);

        var received = receiver.Received;
        var first = received.DistinctBy(Id).ToList();
        foreach (var horse in first.GroupBy(told => told["subject"]!.GetValue<string>()))
            Assert.Equal(Enumerable.Range(1, horse.Count()), horse.Select(told => int.Parse(told["sequence"]!.GetValue<string>(), System.Globalization.CultureInfo.InvariantCulture)));
        Assert.All(received.GroupBy(Id), same => Assert.Single(same.Select(told => told.ToJsonString()).Distinct()));
        return (first.Count, received.Count - first.Count);
    }

    private static string Id(JsonNode item) => item["id"]!.GetValue<string>();

    /// <summary>Things of which fewer events came than were acknowledged.</summary>
    private int Untold(Dictionary<string, int> wanted)
    {
        var told = receiver.Received.DistinctBy(Id)
            .Where(told => told["type"]!.GetValue<string>() is "backtracker.measurement.recorded.v1" or "backtracker.check.booked.v1")
            .Select(told => told["data"]!).CountBy(data => (data["measurementId"] ?? data["checkId"])!.GetValue<string>()).ToDictionary();
        return wanted.Count(pair => told.GetValueOrDefault(pair.Key) < pair.Value);
    }

    private async Task BookingsAsync(IReadOnlyList<(WorkKind Kind, string Key, string Id)> acknowledged)
    {
        foreach (var check in acknowledged.Where(line => line.Kind is WorkKind.Book or WorkKind.Unbook).GroupBy(line => line.Id))
        {
            var steps = (await client.GetAsync($"/v1/checks/{check.Key}/history"))["steps"]!.AsArray().Select(step => step!["action"]!.GetValue<string>()).ToList();
            foreach (var (kind, action) in new[] { (WorkKind.Book, "book"), (WorkKind.Unbook, "unbook") })
                Assert.Equal(check.Count(line => line.Kind == kind), steps.Count(step => step == action));
        }
    }
}
