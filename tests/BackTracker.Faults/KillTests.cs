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
        var burst = new Burst(horse);

        var load = burst.RunAsync(client, 4, () => true);
        while (burst.Taken < afterAcknowledged)
            await Task.Yield();
        await service.KillAsync();
        await load;

        await using var again = await ServiceProcess.StartAsync(Data);
        using var survivor = new Client(again.Address, key);
        TestContext.Current.TestOutputHelper!.WriteLine(await burst.SettleAsync(survivor));
        await ServiceProcess.RunAsync("verify", "--data", Data);
    }

    [Fact]
    public async Task Backup_duringABurst_verifiesAndRestoresWhatWasAcknowledgedBefore()
    {
        var key = await ServiceProcess.RunAsync("key", "add", "--data", Data, "--name", "faults", "--scopes", "admin");
        await using var service = await ServiceProcess.StartAsync(Data);
        using var client = new Client(service.Address, key);
        var horse = await MeasuredHorse.SettleAsync(client);
        var burst = new Burst(horse);
        var load = burst.RunAsync(client, 4, () => true);
        while (burst.Taken < 60)
            await Task.Yield();

        var before = burst.Ids;
        var file = Path.Combine(_folder, "backup.db");
        await ServiceProcess.RunAsync("backup", file, "--data", Data);
        await service.KillAsync();
        await load;
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
}
