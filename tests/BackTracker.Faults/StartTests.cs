namespace BackTracker.Faults;

/// <summary>The real binary started where it cannot write.</summary>
public sealed class StartTests
{
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
