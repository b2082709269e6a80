using System.Globalization;
using Microsoft.Data.Sqlite;

namespace BackTracker.Faults;

/// <summary>What stands in for a power cut of the real binary: syncs counted, the end of the log cut off, the files copied from one instant of a load.</summary>
public sealed class PowerLossTests
{
    [Fact]
    public async Task Acknowledgement_isPrecededByASyncOfItsOwn()
    {
        using var folder = await FaultFolder.MakeAsync();
        await using var service = await ServiceProcess.StartAsync(folder.Data);
        using var client = new Client(service.Address, folder.Key);
        var burst = new Burst(await MeasuredHorse.SettleAsync(client));
        var log = folder.Beside("syncs");

        await using (await Strace.WatchAsync(service.Id, "fsync,fdatasync", log, folder.Records))
            await burst.RunAsync(client, 4, () => burst.Taken < 60);

        var syncs = (await File.ReadAllLinesAsync(log, TestContext.Current.CancellationToken)).Count(line => line.EndsWith("= 0", StringComparison.Ordinal));
        TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{burst.Taken} acknowledged, {syncs} syncs."));
        Assert.True(syncs >= burst.Taken, $"{syncs} syncs for {burst.Taken} acknowledgements.");
    }

    // What is cut off was not synced in a real cut; here it was, so the last changes are missing, and nothing but the last.
    [Fact]
    public async Task LogWithoutItsEnd_holdsEverythingUpToThere()
    {
        using var folder = await FaultFolder.MakeAsync();
        Burst burst;
        await using (var service = await ServiceProcess.StartAsync(folder.Data))
        {
            using var client = new Client(service.Address, folder.Key);
            burst = new Burst(await MeasuredHorse.SettleAsync(client));
            Assert.Equal(0, (await service.TerminateAsync()).ExitCode);
        }
        await using (var service = await ServiceProcess.StartAsync(folder.Data))
        {
            using var client = new Client(service.Address, folder.Key);
            await burst.RunAsync(client, 1, () => burst.Taken < 20); // Into a new log, whose end is the end of what is in it.
            await service.KillAsync();
        }
        var taken = burst.Ids.Order(StringComparer.Ordinal).ToList(); // One writer: in the order in which they were acknowledged.
        var fewest = taken.Count;
        foreach (var cut in new[] { 1, 4096, 200_000, 800_000 })
        {
            var copy = CopyOf(folder, $"cut-{cut}");
            using (var wal = new FileStream(Path.Combine(copy, "backtracker.db-wal"), FileMode.Open, FileAccess.Write))
                wal.SetLength(wal.Length - cut);
            var left = await VerifiedIdsAsync(copy);
            TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{cut} bytes cut off: {left.Count} of {taken.Count} left."));
            Assert.Equal(taken.Take(left.Count), left);
            fewest = Math.Min(fewest, left.Count);
        }
        Assert.InRange(fewest, 0, taken.Count - 1);
    }

    [Fact]
    public async Task FilesOfOneInstantOfALoad_holdEverythingAcknowledgedBefore()
    {
        using var folder = await FaultFolder.MakeAsync();
        await using var service = await ServiceProcess.StartAsync(folder.Data);
        using var client = new Client(service.Address, folder.Key);
        var burst = new Burst(await MeasuredHorse.SettleAsync(client));
        var instants = new List<(string Copy, HashSet<string> Taken)>();
        var load = burst.RunAsync(client, 4, () => instants.Count < 4);
        while (instants.Count < 4)
        {
            var until = burst.Taken + 25;
            while (burst.Taken < until)
                await Task.Yield();
            await service.SignalAsync("STOP");
            instants.Add((CopyOf(folder, $"instant-{instants.Count}"), burst.Ids));
            await service.SignalAsync("CONT");
        }
        await load;

        foreach (var (copy, taken) in instants)
        {
            var stored = await VerifiedIdsAsync(copy);
            Assert.Subset(stored.ToHashSet(), taken);
            Assert.Subset(burst.Ids, stored.ToHashSet());
            TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{taken.Count} acknowledged, {stored.Count} in the copy."));
        }
    }

    /// <summary>The records as they lie in the files now; without the part of the log that is only in memory.</summary>
    private static string CopyOf(FaultFolder folder, string name)
    {
        var copy = Directory.CreateDirectory(folder.Beside(name)).FullName;
        foreach (var file in folder.Records)
            File.Copy(file, Path.Combine(copy, Path.GetFileName(file)));
        return copy;
    }

    private static async Task<IReadOnlyList<string>> VerifiedIdsAsync(string data)
    {
        await ServiceProcess.RunAsync("verify", "--data", data);
        await using var connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = Path.Combine(data, "backtracker.db"), Pooling = false }.ToString());
        await connection.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = connection.CreateCommand();
        command.CommandText = "select id from measurements order by id";
        await using var reader = await command.ExecuteReaderAsync(TestContext.Current.CancellationToken);
        var ids = new List<string>();
        while (await reader.ReadAsync(TestContext.Current.CancellationToken))
            ids.Add(reader.GetString(0));
        return ids;
    }
}
