using System.Globalization;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>
/// The real binary on a disk that fails at one write after the other: the change whose write fails is refused as a whole, everything before and after
/// it is kept. BACKTRACKER_EVERY_WRITE=1 tries every write of a change instead of some.
/// </summary>
public sealed class WriteFaultTests
{
    private static readonly bool Every = Environment.GetEnvironmentVariable("BACKTRACKER_EVERY_WRITE") == "1";

    [Theory, InlineData("ENOSPC"), InlineData("EIO")]
    public async Task Write_thatFails_refusesItsChangeWhole_andTheNextOneIsTaken(string error)
    {
        using var folder = await FaultFolder.MakeAsync();
        var writes = 0;
        Burst burst;
        await using (var service = await ServiceProcess.StartAsync(folder.Data))
        {
            using var client = new Client(service.Address, folder.Key);
            var horse = await MeasuredHorse.SettleAsync(client);
            burst = new Burst(horse);
            Assert.Equal(201, await burst.AskAsync(client));
            foreach (var n in Every ? Enumerable.Range(1, 1000) : [1, 2, 5, 12, 30])
            {
                await horse.AssessedAsync(client, burst.Ids); // So that nobody but the change writes.
                var before = burst.Ids;
                int status;
                await using (await Strace.InjectAsync(service.Id, string.Create(CultureInfo.InvariantCulture, $"pwrite64:error={error}:when={n}+"), folder.Records))
                {
                    status = await burst.AskAsync(client);
                    Assert.Equal(burst.Ids.Order(), (await horse.IdsAsync(client)).Order());
                    Assert.Equal(200, await client.StatusAsync("/health/live"));
                }
                if (status == 201)
                    break; // It needed fewer.
                writes = n;
                Assert.Equal(before, burst.Ids);
                await ReadyAsync(client);
            }
            TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{error} at up to {writes} writes of a change."));
            Assert.InRange(writes, 12, 999);
            await service.KillAsync();
        }
        await folder.SettleAsync(burst);
    }

    // The log is carried over into the database now and then; what cannot be carried over yet stays in the log.
    [Fact]
    public async Task Write_ofTheDatabaseItself_thatFails_losesNothingThatIsInTheLog()
    {
        using var folder = await FaultFolder.MakeAsync();
        Burst burst;
        await using (var service = await ServiceProcess.StartAsync(folder.Data))
        {
            using var client = new Client(service.Address, folder.Key);
            burst = new Burst(await MeasuredHorse.SettleAsync(client));
            await using var fault = await Strace.InjectAsync(service.Id, "pwrite64:error=EIO:when=2+", folder.Records[0]);
            var log = new FileInfo(folder.Records[1]);
            await burst.RunAsync(client, 4, () =>
            {
                log.Refresh();
                return log.Length < 8 << 20; // Carried over at 4 MB otherwise.
            });
            Assert.Equal(0, burst.Refused);
            await service.KillAsync();
        }
        await folder.SettleAsync(burst);
    }

    internal static Task ReadyAsync(Client client) =>
        Eventually.TrueAsync(async () => await client.StatusAsync("/health/ready") == 200, () => "It is not ready though nothing fails any more.");
}
