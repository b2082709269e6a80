using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>The real binary behind lines on which answers come late, are cut off or are lost, to its clients and to its webhooks.</summary>
public sealed class BadLineTests
{
    [Theory, InlineData(nameof(LineFault.Slow)), InlineData(nameof(LineFault.Cut))]
    public async Task Answer_thatDoesNotArrive_isGivenAgainUnderTheSameKey(string fault)
    {
        using var folder = await FaultFolder.MakeAsync();
        await using var service = await ServiceProcess.StartAsync(folder.Data);
        using var client = new Client(service.Address, folder.Key);
        var burst = new Burst(await MeasuredHorse.SettleAsync(client));
        using var line = BadLine.To(service.Address, Enum.Parse<LineFault>(fault));
        // A connection for each: those that are kept are the good ones.
        await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => Task.Run(async () =>
        {
            for (var i = 0; i < 8; i++)
            {
                using var far = new Client(line.Address, folder.Key);
                await burst.AskAsync(far);
            }
        })));

        Assert.InRange(line.Faults, 10, 16);
        Assert.Equal(fault == nameof(LineFault.Slow) ? 32 : 32 - line.Faults, burst.Taken);
        TestContext.Current.TestOutputHelper!.WriteLine(await burst.SettleAsync(client));
        await ServiceProcess.RunAsync("verify", "--data", folder.Data);
    }

    [Theory, InlineData(nameof(LineFault.Cut)), InlineData(nameof(LineFault.Dead))]
    public async Task Answer_ofAWebhook_thatDoesNotArrive_isAskedForAgain_andHoldsUpNobodyElse(string fault)
    {
        using var folder = await FaultFolder.MakeAsync();
        await using var near = await Receiver.StartAsync();
        await using var far = await Receiver.StartAsync();
        using var line = BadLine.To(new Uri(far.Url), Enum.Parse<LineFault>(fault));
        await using var service = await ServiceProcess.StartAsync(folder.Data, ServiceProcess.LoopbackAllowed);
        using var client = new Client(service.Address, folder.Key);
        var burst = new Burst(await MeasuredHorse.SettleAsync(client));
        // The first connection is a good one.
        using (var first = new HttpClient())
            await first.PostAsync(line.Address, new StringContent("{}"), TestContext.Current.CancellationToken);
        foreach (var url in new[] { near.Url, line.Address.ToString() })
            await client.MakeAsync("/v1/subscriptions", new { url, events = new[] { "backtracker.measurement.recorded.v1" } });

        await burst.RunAsync(client, 2, () => burst.Taken < 10);
        await Eventually.TrueAsync(() => Task.FromResult(Told(near).SetEquals(burst.Ids)), () => $"{Told(near).Count} of {burst.Taken} came on the good line.");
        await Eventually.TrueAsync(() => Task.FromResult(Told(far).SetEquals(burst.Ids)), () => $"{Told(far).Count} of {burst.Taken} came on the bad line.", withinSeconds: 90);

        Assert.Equal(near.Received.Count, near.Received.DistinctBy(told => told["id"]!.GetValue<string>()).Count());
        Assert.Single(far.Received.Where(told => told["id"] is not null).GroupBy(told => told["id"]!.GetValue<string>()), same => same.Count() > 1);
        TestContext.Current.TestOutputHelper!.WriteLine(await burst.SettleAsync(client));
    }

    private static HashSet<string> Told(Receiver receiver) => [.. receiver.Received.Select(told => told["data"]?["measurementId"]?.GetValue<string>()).OfType<string>()];
}
