namespace BackTracker.Faults;

/// <summary>The real binary where no file may grow beyond a size (setrlimit(2), RLIMIT_FSIZE): changes are refused, reads go on, and a larger limit is all it takes.</summary>
public sealed class FileSizeTests
{
    // Without its guard of code pages the runtime needs no large file for itself; the signal would end it.
    private static readonly Dictionary<string, string> Settings = new() { ["DOTNET_EnableWriteXorExecute"] = "0" };

    [Fact]
    public async Task Limit_ofAFile_refusesChanges_readsOn_andGoesOnOnceItIsLifted()
    {
        using var folder = await FaultFolder.MakeAsync();
        Burst burst;
        await using (var service = await ServiceProcess.StartAfterAsync("trap '' XFSZ && ulimit -S -f 3000", folder.Data, Settings))
        {
            using var client = new Client(service.Address, folder.Key);
            var horse = await MeasuredHorse.SettleAsync(client);
            burst = new Burst(horse);
            await burst.RunAsync(client, 4, () => burst.Refused < 20);
            var taken = burst.Ids;
            Assert.NotEmpty(taken);
            Assert.Equal(503, await client.StatusAsync("/health/ready"));
            Assert.Equal(200, await client.StatusAsync("/health/live"));
            Assert.Equal(taken.Order(), (await horse.IdsAsync(client)).Order());

            await service.LimitAsync("fsize", long.MaxValue);
            await WriteFaultTests.ReadyAsync(client);
            await burst.RunAsync(client, 4, () => burst.Taken < taken.Count + 20);
            await service.KillAsync();
        }
        await folder.SettleAsync(burst);
    }
}
