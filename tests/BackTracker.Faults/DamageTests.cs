using System.Security.Cryptography;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>The real binary on a damaged file: it does not start, leaves the file as it is, and says what to do; what it says brings back what the backup holds.</summary>
public sealed class DamageTests
{
    // After a kill the log lies beside the file: neither the refusal nor the restore may mix the two.
    [Theory, InlineData("page", true), InlineData("header", false), InlineData("emptied", true)]
    public async Task Damage_isRefusedAndLeftAsItIs_andTheBackupOfTheNightBringsItBack(string damage, bool killed)
    {
        using var folder = await FaultFolder.MakeAsync();
        var (horse, kept, backup) = await BackedUpAsync(folder, killed);
        Damage(folder.Records[0], damage);
        var before = Bytes(folder);

        var refusal = await ServiceProcess.RefusedAsync("serve", "--data", folder.Data, "--port", "0");

        Assert.Contains("is damaged", refusal, StringComparison.Ordinal);
        Assert.Contains("Restore the newest backup", refusal, StringComparison.Ordinal);
        Assert.Equal(before, Bytes(folder));
        if (killed)
            File.Move(folder.Records[0], folder.Beside("put-aside.db"));
        await ServiceProcess.RunAsync(["restore", backup, "--data", folder.Data, .. killed ? Array.Empty<string>() : ["--force"]]);
        await ServiceProcess.RunAsync("verify", "--data", folder.Data);
        await using var again = await ServiceProcess.StartAsync(folder.Data);
        using var client = new Client(again.Address, folder.Key);
        Assert.Equal(kept.Order(), (await horse.IdsAsync(client)).Order());
        Assert.Equal(201, (await client.TryAsync(horse.Measure("after", 1)))!.Value.Status);
    }

    [Fact]
    public async Task Damage_ofTheJobs_isRefused_andGoneWithTheirFile()
    {
        using var folder = await FaultFolder.MakeAsync();
        await using (await ServiceProcess.StartAsync(folder.Data))
        {
        }
        await File.WriteAllTextAsync(folder.In("jobs.db"), new string('x', 5000), TestContext.Current.CancellationToken);

        Assert.Contains("jobs.db cannot be used", await ServiceProcess.RefusedAsync("serve", "--data", folder.Data, "--port", "0"), StringComparison.Ordinal);

        File.Delete(folder.In("jobs.db"));
        await using var again = await ServiceProcess.StartAsync(folder.Data);
    }

    /// <summary>A service that made its backup of the night, took more after that, and ended.</summary>
    private static async Task<(MeasuredHorse Horse, HashSet<string> Kept, string Backup)> BackedUpAsync(FaultFolder folder, bool killed)
    {
        Burst burst;
        MeasuredHorse horse;
        await using (var first = await ServiceProcess.StartAsync(folder.Data))
        {
            using var client = new Client(first.Address, folder.Key);
            horse = await MeasuredHorse.SettleAsync(client);
            burst = new Burst(horse);
            await burst.RunAsync(client, 4, () => burst.Taken < 40);
            Assert.Equal(0, (await first.TerminateAsync()).ExitCode);
        }
        var kept = burst.Ids;
        await using var service = await ServiceProcess.StartAsync(folder.Data);
        string[] backups = [];
        await Eventually.TrueAsync(
            () => Task.FromResult((backups = Directory.Exists(folder.In("backups")) ? Directory.GetFiles(folder.In("backups"), "backtracker-*.db") : []).Length == 1),
            () => "No backup was made.");
        using (var client = new Client(service.Address, folder.Key))
            await burst.RunAsync(client, 4, () => burst.Taken < 60);
        if (killed)
            await service.KillAsync();
        else
            Assert.Equal(0, (await service.TerminateAsync()).ExitCode);
        return (horse, kept, backups[0]);
    }

    private static void Damage(string path, string damage)
    {
        using var file = new FileStream(path, FileMode.Open, FileAccess.Write);
        if (damage == "emptied")
            file.SetLength(0);
        // Nearly every page: those that are in the log too are read from there.
        for (var page = damage == "header" ? 0 : 4096; page < (damage == "header" ? 1 : file.Length); page += 4096)
        {
            file.Position = page;
            file.Write([.. Enumerable.Repeat((byte)0xA5, 16)]);
        }
    }

    private static IEnumerable<string> Bytes(FaultFolder folder) =>
        [.. folder.Records.Select(file => Convert.ToHexString(SHA256.HashData(File.Exists(file) ? File.ReadAllBytes(file) : [])))];
}
