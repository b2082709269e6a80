using System.Collections.Concurrent;
using System.Globalization;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>The real binary killed for real, checked by a ledger of what it had acknowledged.</summary>
public sealed class KillTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-fault-").FullName;

    private string Data => Path.Combine(_folder, "data");

    [Theory, InlineData(40), InlineData(120), InlineData(260)]
    public async Task Kill_duringABurstOfMeasurements_losesAndDoublesNothing(int afterAcknowledged)
    {
        var key = await ServiceProcess.RunAsync("key", "add", "--data", Data, "--name", "faults", "--scopes", "admin");
        await using var service = await ServiceProcess.StartAsync(Data);
        using var client = new Client(service.Address, key);
        var yard = await SettleAsync(client);
        var ledger = new ConcurrentDictionary<string, string>();

        var burst = BurstAsync(client, yard, ledger);
        while (ledger.Count < afterAcknowledged)
            await Task.Yield();
        await service.KillAsync();
        var asked = await burst;

        await using var again = await ServiceProcess.StartAsync(Data);
        using var survivor = new Client(again.Address, key);
        await CheckAsync(survivor, yard, ledger, asked);
        await ServiceProcess.RunAsync("verify", "--data", Data);
    }

    [Fact]
    public async Task Backup_duringABurst_verifiesAndRestoresWhatWasAcknowledgedBefore()
    {
        var key = await ServiceProcess.RunAsync("key", "add", "--data", Data, "--name", "faults", "--scopes", "admin");
        await using var service = await ServiceProcess.StartAsync(Data);
        using var client = new Client(service.Address, key);
        var yard = await SettleAsync(client);
        var ledger = new ConcurrentDictionary<string, string>();
        var burst = BurstAsync(client, yard, ledger);
        while (ledger.Count < 60)
            await Task.Yield();

        var before = ledger.Values.ToHashSet();
        var file = Path.Combine(_folder, "backup.db");
        await ServiceProcess.RunAsync("backup", file, "--data", Data);
        await service.KillAsync();
        await burst;
        await ServiceProcess.RunAsync("verify", file);
        var elsewhere = Path.Combine(_folder, "restored");
        await ServiceProcess.RunAsync("restore", file, "--data", elsewhere);

        await using var restored = await ServiceProcess.StartAsync(elsewhere);
        using var reader = new Client(restored.Address, key);
        Assert.Subset(await IdsAsync(reader, yard), before);
        await ServiceProcess.RunAsync("verify", "--data", elsewhere);
    }

    // SIGTERM at many moments of the start, not at one: before the host handles signals the runtime ends the process with 143.
    [Fact]
    public async Task Terminate_whileStarting_endsAsTold()
    {
        for (var afterMilliseconds = 0; afterMilliseconds < 1200; afterMilliseconds += 100)
        {
            var (exit, errors) = await ServiceProcess.TerminateAsync(Data, TimeSpan.FromMilliseconds(afterMilliseconds));
            Assert.True(exit is 0 or 143, $"Terminated {afterMilliseconds} ms after its start it ended with {exit}: {errors}");
            Assert.DoesNotContain("Unhandled exception", errors, StringComparison.Ordinal);
        }
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static async Task<(string HorseId, string PersonId)> SettleAsync(Client client)
    {
        var yardId = await client.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        var person = await client.MakeAsync("/v1/people", new { name = "Isla Brook", role = "yard-manager", yardIds = new[] { yardId } });
        return (await client.MakeAsync("/v1/horses", new { yardId, name = "Bramble" }), person);
    }

    /// <summary>Four writers until the service dies; what was asked for, by idempotency key.</summary>
    private static async Task<IReadOnlyCollection<(string Key, object Body)>> BurstAsync(
        Client client, (string HorseId, string PersonId) yard, ConcurrentDictionary<string, string> ledger)
    {
        var asked = new ConcurrentBag<(string, object)>();
        await Task.WhenAll(Enumerable.Range(0, 4).Select(writer => Task.Run(async () =>
        {
            for (var i = 0; i < 2000; i++)
            {
                var key = string.Create(CultureInfo.InvariantCulture, $"{writer}-{i}");
                var body = new
                {
                    measuredAt = DateTimeOffset.UtcNow.AddHours(-i - 1),
                    measuredBy = yard.PersonId,
                    method = "calliper",
                    exercise = "before",
                    widths = new[] { new { station = "T13", depthMm = 150, widthMm = 300 + (i % 20) } },
                };
                asked.Add((key, body));
                try
                {
                    ledger[key] = await client.MakeAsync($"/v1/horses/{yard.HorseId}/measurements", body, key);
                }
                catch (HttpRequestException)
                {
                    return; // The service is gone: whether this one was kept, nobody was told.
                }
            }
        })));
        return asked;
    }

    private static async Task CheckAsync(
        Client client, (string HorseId, string PersonId) yard, ConcurrentDictionary<string, string> ledger, IReadOnlyCollection<(string Key, object Body)> asked)
    {
        Assert.Subset(await IdsAsync(client, yard), ledger.Values.ToHashSet());
        foreach (var (key, body) in asked)
        {
            var id = await client.MakeAsync($"/v1/horses/{yard.HorseId}/measurements", body, key);
            Assert.True(!ledger.TryGetValue(key, out var acknowledged) || acknowledged == id, $"{key} made {acknowledged} and then {id}.");
        }
        var ids = await IdsAsync(client, yard);
        Assert.Equal(asked.Count, ids.Count);
        await AssessedAsync(client, yard, ids);
    }

    /// <summary>Waits until the horse's latest assessment has read every measurement.</summary>
    private static async Task AssessedAsync(Client client, (string HorseId, string PersonId) yard, HashSet<string> ids)
    {
        HashSet<string> read = [];
        await Eventually.TrueAsync(
            async () => (read = [.. (await client.AllAsync($"/v1/horses/{yard.HorseId}/assessments?limit=500"))[^1]["inputs"]!["measurements"]!.AsArray().Select(m => m!["id"]!.GetValue<string>())]).SetEquals(ids),
            () => $"The latest assessment has read {read.Count} of {ids.Count} measurements.");
    }

    private static async Task<HashSet<string>> IdsAsync(Client client, (string HorseId, string PersonId) yard) =>
        [.. (await client.AllAsync($"/v1/horses/{yard.HorseId}/measurements?limit=500")).Select(m => m["id"]!.GetValue<string>())];
}
