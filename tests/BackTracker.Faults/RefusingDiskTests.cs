namespace BackTracker.Faults;

/// <summary>The real binary on a disk that cannot make anything lasting, or was turned to reading: it acknowledges nothing, says so, reads on, and goes on once it can.</summary>
public sealed class RefusingDiskTests
{
    private const int Refusals = 24;

    private const string NoSync = "fsync,fdatasync:error=EIO";
    private const string ReadOnly = "pwrite64,ftruncate,fallocate,fsync,fdatasync,unlink:error=EROFS";

    [Theory, InlineData(NoSync, true), InlineData(NoSync, false), InlineData(ReadOnly, false)]
    public async Task Change_thatCannotBeMadeLasting_isNeverAcknowledged(string fault, bool killedMeanwhile)
    {
        using var folder = await FaultFolder.MakeAsync();
        Burst burst;
        await using (var service = await ServiceProcess.StartAsync(folder.Data))
        {
            using var client = new Client(service.Address, folder.Key);
            var horse = await MeasuredHorse.SettleAsync(client);
            burst = new Burst(horse);
            await burst.RunAsync(client, 4, () => burst.Taken < 40);
            await using (await Strace.InjectAsync(service.Id, fault, folder.Everything))
            {
                var taken = burst.Ids;
                await burst.RunAsync(client, 4, () => burst.Refused < Refusals);
                Assert.Equal(taken, burst.Ids);
                Assert.Equal(503, await client.StatusAsync("/health/ready"));
                Assert.Equal(200, await client.StatusAsync("/health/live"));
                Assert.Equal(taken.Order(), (await horse.IdsAsync(client)).Order());
                if (killedMeanwhile)
                    await service.KillAsync();
            }
            if (!killedMeanwhile)
            {
                await WriteFaultTests.ReadyAsync(client);
                await burst.RunAsync(client, 4, () => burst.Taken < 80);
                await service.KillAsync();
            }
        }
        await folder.SettleAsync(burst);
    }
}
