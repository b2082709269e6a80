using System.Diagnostics;
using System.Globalization;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults.MixedLoad;

/// <summary>
/// The real binary under a mixed load of writes and deliveries, killed with SIGKILL at random instants. BACKTRACKER_KILLS says how many times,
/// BACKTRACKER_SEED from which seed.
/// </summary>
public sealed class MixedLoadTests : IDisposable
{
    private const int EarliestMs = 200;
    private const int LatestMs = 3000;
    private const int CheckedEvery = 20;

    /// <summary>Of so many rounds one is killed by the clock alone, whether it has done anything or not; the others once they work.</summary>
    private const int ColdEvery = 4;

    private static readonly TimeSpan LongestStart = TimeSpan.FromSeconds(10);
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-fault-").FullName;

    private string Data => Path.Combine(_folder, "data");

    [Fact]
    public async Task Kill_atRandomInstantsUnderAMixedLoad_losesAndDoublesNothing()
    {
        var seed = Number("BACKTRACKER_SEED", Environment.TickCount);
        var rounds = Number("BACKTRACKER_KILLS", 8);
        var random = new Random(seed);
        TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture, $"Seed {seed}, {rounds} kills."));
        await using var receiver = await Receiver.StartAsync();
        var key = await ServiceProcess.RunAsync("key", "add", "--data", Data, "--name", "faults", "--scopes", "admin");
        using var ledger = new Ledger(Path.Combine(_folder, "ledger"));
        var yard = await SettleAsync(key, receiver);
        var load = new Load(yard, ledger, seed);

        var longest = TimeSpan.Zero;
        for (var round = 1; round <= rounds; round++)
        {
            longest = Longer(longest, await KilledRoundAsync(load, key, round % ColdEvery == 0 ? () => true : UnderWay(ledger), random.Next(EarliestMs, LatestMs)));
            if (round % CheckedEvery == 0 && round < rounds)
                await ReckonAsync(round);
        }
        await ReckonAsync(rounds);

        async Task ReckonAsync(int kills)
        {
            var (events, again) = await HoldAgainstLedgerAsync(load, key, yard, ledger, receiver);
            TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"Seed {seed}: {kills} kills, {ledger.Acknowledged} acknowledged, {ledger.Unknown} of unknown outcome settled, {ledger.Refused} refused, none lost, none doubled, {events} events, {again} delivered again, longest start {longest.TotalSeconds:0.0} s."));
        }
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private async Task<LoadYard> SettleAsync(string key, Receiver receiver)
    {
        await using var service = await ServiceProcess.StartAsync(Data, ServiceProcess.LoopbackAllowed);
        using var client = new Client(service.Address, key);
        return await LoadYard.SettleAsync(client, receiver.Url);
    }

    /// <summary>Something more has been acknowledged.</summary>
    private static Func<bool> UnderWay(Ledger ledger)
    {
        var before = ledger.Acknowledged;
        return () => ledger.Acknowledged > before;
    }

    /// <summary>Starts, loads, and kills a while after the clock is to run; how long the start took.</summary>
    private async Task<TimeSpan> KilledRoundAsync(Load load, string key, Func<bool> clockRuns, int afterMilliseconds)
    {
        var watch = Stopwatch.StartNew();
        await using var service = await ServiceProcess.StartAsync(Data, ServiceProcess.LoopbackAllowed);
        var start = watch.Elapsed;
        var own = start - service.WaitedForProcessor();
        Assert.True(own < LongestStart, $"After a kill it took {own.TotalSeconds:0.0} s of its own to start.");
        using var client = new Client(service.Address, key);
        var burst = load.RunAsync(client);
        await Eventually.TrueAsync(() => Task.FromResult(clockRuns()), () => "Nothing was acknowledged.");
        await Task.Delay(afterMilliseconds, TestContext.Current.CancellationToken);
        await service.KillAsync();
        await burst;
        return start;
    }

    private async Task<(int Events, int Again)> HoldAgainstLedgerAsync(Load load, string key, LoadYard yard, Ledger ledger, Receiver receiver)
    {
        await using var service = await ServiceProcess.StartAsync(Data, ServiceProcess.LoopbackAllowed);
        using var client = new Client(service.Address, key);
        await load.SettleAsync(client);
        var reckoning = new Reckoning(client, yard, ledger, receiver);
        await reckoning.StoredAsync();
        await ServiceProcess.RunAsync("verify", "--data", Data);
        return await reckoning.ToldAsync();
    }

    private static TimeSpan Longer(TimeSpan one, TimeSpan other) => one > other ? one : other;

    private static int Number(string variable, int otherwise) =>
        int.TryParse(Environment.GetEnvironmentVariable(variable), CultureInfo.InvariantCulture, out var number) ? number : otherwise;
}
