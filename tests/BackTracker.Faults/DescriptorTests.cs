using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>The real binary with few file descriptors, and more idle connections than those.</summary>
public sealed class DescriptorTests
{
    private const int Idle = 600;

    [Fact]
    public async Task Connections_beyondTheDescriptors_areClosed_andStopNobodyForGood()
    {
        using var folder = await FaultFolder.MakeAsync();
        Burst burst;
        await using (var service = await ServiceProcess.StartAfterAsync("ulimit -n 1024", folder.Data, new Dictionary<string, string>()))
        {
            using var client = new Client(service.Address, folder.Key);
            burst = new Burst(await MeasuredHorse.SettleAsync(client));
            var idle = new List<BareConnection>();
            for (var i = 0; i < Idle; i++)
                idle.Add(await BareConnection.OpenAsync(service.Address));
            await Eventually.TrueAsync(() => Task.FromResult(idle.Count(one => !one.IsClosed) < 300), () => $"{idle.Count(one => !one.IsClosed)} idle ones are held.");
            await burst.RunAsync(client, 1, () => burst.Taken < 20); // Whoever was connected before goes on.
            await service.ShouldRunAsync();
            idle.ForEach(one => one.Dispose());
            await Eventually.TrueAsync(async () => await IsServedAnewAsync(service), () => "Nobody is let in any more.");
            await burst.RunAsync(client, 4, () => burst.Taken < 40);
            await service.KillAsync();
        }
        await folder.SettleAsync(burst);
    }

    [Fact]
    public async Task Start_withTooFewDescriptors_isRefusedInOneLine()
    {
        using var folder = await FaultFolder.MakeAsync();

        var refusal = await Assert.ThrowsAsync<InvalidOperationException>(() => ServiceProcess.StartAfterAsync("ulimit -n 300", folder.Data, new Dictionary<string, string>()));

        Assert.EndsWith("This process may hold 300 files open at once, which is too few: allow it 600 or more (ulimit -n).\n", refusal.Message, StringComparison.Ordinal);
    }

    private static async Task<bool> IsServedAnewAsync(ServiceProcess service)
    {
        using var anew = new Client(service.Address, "");
        return !await anew.IsGoneAsync();
    }
}
