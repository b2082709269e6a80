using System.Collections.Concurrent;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>The real binary killed while it tells a webhook what it acknowledged.</summary>
public sealed class DeliveryKillTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-fault-").FullName;

    [Theory, InlineData(1), InlineData(30)]
    public async Task Kill_whileDelivering_tellsEverythingThatWasAcknowledgedInOrderOfTheHorse(int afterReceived)
    {
        await using var receiver = await Receiver.StartAsync();
        var key = await ServiceProcess.RunAsync("key", "add", "--data", _folder, "--name", "faults", "--scopes", "admin");
        var ledger = new ConcurrentBag<string>();
        await using (var service = await ServiceProcess.StartAsync(_folder, ServiceProcess.LoopbackAllowed))
        {
            using var client = new Client(service.Address, key);
            var (horses, personId) = await SettleAsync(client, receiver.Url);
            var burst = Task.WhenAll(horses.Select(horse => Task.Run(() => WeighAsync(client, horse, personId, ledger))));
            await Eventually.TrueAsync(() => Task.FromResult(receiver.Received.Count >= afterReceived), () => $"{receiver.Received.Count} of {afterReceived} came.");
            await service.KillAsync();
            await burst;
        }

        await using var again = await ServiceProcess.StartAsync(_folder, ServiceProcess.LoopbackAllowed);
        await Eventually.TrueAsync(() => Task.FromResult(Told(receiver).IsSupersetOf(ledger)), () => $"{ledger.Except(Told(receiver)).Count()} of {ledger.Count} were never told.");

        foreach (var horse in receiver.Received.DistinctBy(e => e["id"]!.GetValue<string>()).GroupBy(e => e["subject"]!.GetValue<string>()))
            Assert.Equal(horse.Select(Sequence).Order(StringComparer.Ordinal), horse.Select(Sequence));
        Assert.All(receiver.Received.GroupBy(Sequence).SelectMany(g => g.GroupBy(e => e["subject"]!.GetValue<string>())), same => Assert.Single(same.Select(e => e["id"]!.GetValue<string>()).Distinct()));
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static async Task<(IReadOnlyList<string> Horses, string PersonId)> SettleAsync(Client client, string url)
    {
        var yardId = await client.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        var person = await client.MakeAsync("/v1/people", new { name = "Isla Brook", role = "yard-manager", yardIds = new[] { yardId } });
        var horses = new List<string>();
        for (var i = 0; i < 4; i++)
            horses.Add(await client.MakeAsync("/v1/horses", new { yardId, name = $"Horse {i}" }));
        await client.MakeAsync("/v1/subscriptions", new { url, events = new[] { "backtracker.measurement.recorded.v1" }, yardIds = new[] { yardId } });
        return (horses, person);
    }

    private static async Task WeighAsync(Client client, string horse, string personId, ConcurrentBag<string> ledger)
    {
        try
        {
            for (var i = 0; i < 500; i++)
                ledger.Add(await client.MakeAsync($"/v1/horses/{horse}/measurements", new
                {
                    measuredAt = DateTimeOffset.UtcNow.AddHours(-i - 1),
                    measuredBy = personId,
                    method = "tape",
                    exercise = "before",
                    weightKg = 500,
                }));
        }
        catch (HttpRequestException)
        {
            // The service is gone.
        }
    }

    private static HashSet<string> Told(Receiver receiver) => [.. receiver.Received.Select(e => e["data"]!["measurementId"]!.GetValue<string>())];

    private static string Sequence(System.Text.Json.Nodes.JsonNode told) => told["sequence"]!.GetValue<string>();
}
