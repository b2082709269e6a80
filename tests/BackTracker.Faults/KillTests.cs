using System.Collections.Concurrent;
using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Faults.MixedLoad;

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
        var horse = await MeasuredHorse.SettleAsync(client);
        var ledger = new ConcurrentDictionary<string, string>();

        var burst = BurstAsync(client, horse, ledger);
        while (ledger.Count < afterAcknowledged)
            await Task.Yield();
        await service.KillAsync();
        var asked = await burst;

        await using var again = await ServiceProcess.StartAsync(Data);
        using var survivor = new Client(again.Address, key);
        await CheckAsync(survivor, horse, ledger, asked);
        await ServiceProcess.RunAsync("verify", "--data", Data);
    }

    [Fact]
    public async Task Backup_duringABurst_verifiesAndRestoresWhatWasAcknowledgedBefore()
    {
        var key = await ServiceProcess.RunAsync("key", "add", "--data", Data, "--name", "faults", "--scopes", "admin");
        await using var service = await ServiceProcess.StartAsync(Data);
        using var client = new Client(service.Address, key);
        var horse = await MeasuredHorse.SettleAsync(client);
        var ledger = new ConcurrentDictionary<string, string>();
        var burst = BurstAsync(client, horse, ledger);
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
        Assert.Subset(await horse.IdsAsync(reader), before);
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

    /// <summary>Four writers until the service dies; what was asked for.</summary>
    private static async Task<IReadOnlyCollection<Work>> BurstAsync(Client client, MeasuredHorse horse, ConcurrentDictionary<string, string> ledger)
    {
        var asked = new ConcurrentBag<Work>();
        await Task.WhenAll(Enumerable.Range(0, 4).Select(writer => Task.Run(async () =>
        {
            for (var i = 0; i < 2000; i++)
            {
                var work = horse.Measure(string.Create(CultureInfo.InvariantCulture, $"{writer}-{i}"), i);
                asked.Add(work);
                if (await client.TryAsync(work) is not { } answer)
                    return; // The service is gone: whether this one was kept, nobody was told.
                ledger[work.Key] = IdOf(answer);
            }
        })));
        return asked;
    }

    private static async Task CheckAsync(Client client, MeasuredHorse horse, ConcurrentDictionary<string, string> ledger, IReadOnlyCollection<Work> asked)
    {
        Assert.Subset(await horse.IdsAsync(client), ledger.Values.ToHashSet());
        foreach (var work in asked)
        {
            var id = IdOf((await client.TryAsync(work))!.Value);
            Assert.True(!ledger.TryGetValue(work.Key, out var acknowledged) || acknowledged == id, $"{work.Key} made {acknowledged} and then {id}.");
        }
        var ids = await horse.IdsAsync(client);
        Assert.Equal(asked.Count, ids.Count);
        await horse.AssessedAsync(client, ids);
    }

    private static string IdOf((int Status, string Text) answer) =>
        answer.Status == 201 ? JsonNode.Parse(answer.Text)!["id"]!.GetValue<string>() : throw new InvalidOperationException(answer.Text);
}
