using System.Diagnostics;
using System.Globalization;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>The real binary with webhooks that never answer, answer a byte at a time, hang up or talk nonsense: the good one is told everything meanwhile.</summary>
public sealed class BadReceiverTests
{
    [Fact]
    public async Task BadOnes_delayNoGoodOne_norTheEndOfTheService()
    {
        using var folder = await FaultFolder.MakeAsync();
        await using var good = await Receiver.StartAsync();
        var drip = TimeSpan.FromMilliseconds(500);
        BadReceiver[] bad =
        [
            BadReceiver.Start(_ => Task.CompletedTask),
            BadReceiver.Start(connection => connection.DripAsync('H', drip)),
            BadReceiver.Start(async connection =>
            {
                await connection.SayAsync("HTTP/1.1 500 No\r\nContent-Length: 1000000\r\n\r\n");
                await connection.DripAsync('x', drip);
            }),
            BadReceiver.Start(connection => Task.Run(connection.Reset)),
            BadReceiver.Start(connection => connection.SayAsync("What?\r\n\r\n")),
        ];
        Burst burst;
        await using (var service = await ServiceProcess.StartAsync(folder.Data, ServiceProcess.LoopbackAllowed))
        {
            using var client = new Client(service.Address, folder.Key);
            burst = new Burst(await MeasuredHorse.SettleAsync(client));
            foreach (var url in bad.Select(one => one.Url).Prepend(good.Url).Append("https://nobody.invalid/hook"))
                await client.MakeAsync("/v1/subscriptions", new { url, events = new[] { "backtracker.measurement.recorded.v1" } });
            await burst.RunAsync(client, 1, () => burst.Taken == 0);
            await Eventually.TrueAsync(() => Task.FromResult(bad.All(one => one.Asked > 0)), () => $"Asked {string.Join(", ", bad.Select(one => one.Asked))} times.");

            var watch = Stopwatch.StartNew();
            await burst.RunAsync(client, 2, () => burst.Taken < 60);
            await Eventually.TrueAsync(() => Task.FromResult(Told(good).SetEquals(burst.Ids)), () => $"{Told(good).Count} of {burst.Taken} came.");
            TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{burst.Taken} acknowledged and told within {watch.Elapsed.TotalSeconds:0.0} s."));
            Assert.True(bad[0].Asked == 1, "The good one was told after the first had been given up, not meanwhile.");
            Assert.Equal(good.Received.Count, good.Received.DistinctBy(told => told["id"]!.GetValue<string>()).Count());

            var (exit, errors) = await service.TerminateAsync();
            Assert.True(exit == 0, errors);
        }
        foreach (var one in bad)
            one.Dispose();
        await folder.SettleAsync(burst);
    }

    private static HashSet<string> Told(Receiver receiver) => [.. receiver.Received.Select(told => told["data"]!["measurementId"]!.GetValue<string>())];
}
