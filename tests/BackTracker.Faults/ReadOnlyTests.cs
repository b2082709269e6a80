namespace BackTracker.Faults;

/// <summary>The real binary on a file system that takes no writes any more, as kernels turn one that has faults.</summary>
public sealed class ReadOnlyTests
{
    [Fact]
    public async Task FileSystem_turnedToReading_refusesChanges_readsOn_andGoesOnOnceItIsTurnedBack()
    {
        using var folder = await FaultFolder.MakeAsync();
        Burst burst;
        await using (var service = await ServiceProcess.StartAsync(folder.Data))
        {
            using var client = new Client(service.Address, folder.Key);
            var horse = await MeasuredHorse.SettleAsync(client);
            burst = new Burst(horse);
            await burst.RunAsync(client, 4, () => burst.Taken < 40);
            await using (await Strace.InjectAsync(service.Id, "pwrite64,ftruncate,fallocate,fsync,fdatasync,unlink:error=EROFS", folder.Everything))
            {
                var taken = burst.Ids;
                await burst.RunAsync(client, 4, () => burst.Refused < 20);
                Assert.Equal(taken, burst.Ids);
                Assert.Equal(503, await client.StatusAsync("/health/ready"));
                Assert.Equal(200, await client.StatusAsync("/health/live"));
                Assert.Equal(taken.Order(), (await horse.IdsAsync(client)).Order());
            }
            await WriteFaultTests.ReadyAsync(client);
            await burst.RunAsync(client, 4, () => burst.Taken < 60);
            await service.KillAsync();
        }
        await folder.SettleAsync(burst);
    }

    [Fact]
    public async Task Start_whereNothingCanBeWritten_isRefusedInOneLine()
    {
        await using var disk = await SmallDisk.MountAsync(16);
        await ServiceProcess.RunAsync("key", "add", "--data", disk.Folder, "--name", "faults", "--scopes", "admin");
        await disk.SetAsync("ro");
        var refusal = await ServiceProcess.RefusedAsync("serve", "--data", disk.Folder, "--port", "0");
        Assert.Contains("cannot be written to", refusal, StringComparison.Ordinal);
        Assert.Contains("Read-only file system", refusal, StringComparison.Ordinal);

        await disk.SetAsync("rw");
        await using var service = await ServiceProcess.StartAsync(disk.Folder);
    }

    [Fact]
    public async Task Start_onAFullDisk_isRefusedInOneLine_andTheNextOneFindsEverything()
    {
        await using var disk = await SmallDisk.MountAsync(16);
        var key = await ServiceProcess.RunAsync("key", "add", "--data", disk.Folder, "--name", "faults", "--scopes", "admin");
        await disk.FillAsync();
        var refusal = await ServiceProcess.RefusedAsync("serve", "--data", disk.Folder, "--port", "0");
        Assert.Contains("disk is full", refusal, StringComparison.Ordinal);

        await disk.GrowAsync(64);
        await using var service = await ServiceProcess.StartAsync(disk.Folder);
        using var client = new Client(service.Address, key);
        Assert.Equal(200, await client.StatusAsync("/v1/yards"));
    }
}
