namespace BackTracker.Faults;

/// <summary>The real binary on a disk of which now and then a read or a write fails, for the records and for the jobs.</summary>
public sealed class RandomFaultTests
{
    private const int Refusals = 20;

    // Steps that share no factor with the number of writes of a change: each time another one fails.
    [Theory, InlineData("pwrite64:error=ENOSPC:when=31+97"), InlineData("pwrite64,pread64,ftruncate,fsync,fdatasync:error=EIO:when=17+89")]
    public async Task Fault_nowAndThen_losesAndDoublesNothing(string inject)
    {
        using var folder = await FaultFolder.MakeAsync();
        Burst burst;
        await using (var service = await ServiceProcess.StartAsync(folder.Data))
        {
            using var client = new Client(service.Address, folder.Key);
            burst = new Burst(await MeasuredHorse.SettleAsync(client));
            await using (await Strace.InjectAsync(service.Id, inject, folder.Everything))
                await burst.RunAsync(client, 4, () => burst.Refused < Refusals || burst.Taken < 40);
            await WriteFaultTests.ReadyAsync(client);
            await burst.RunAsync(client, 4, () => burst.Taken < 100);
            Assert.Equal(200, await client.StatusAsync("/health/live"));
            await service.KillAsync();
        }
        await folder.SettleAsync(burst);
    }
}
