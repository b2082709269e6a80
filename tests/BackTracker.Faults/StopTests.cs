using System.Diagnostics;
using System.Globalization;

namespace BackTracker.Faults;

/// <summary>The real binary told to stop while everybody writes.</summary>
public sealed class StopTests
{
    // Requests have ten seconds, jobs five more; the rest is for a busy machine.
    private static readonly TimeSpan InTime = TimeSpan.FromSeconds(25);

    [Theory, InlineData(false), InlineData(true)]
    public async Task Terminate_underFullLoad_finishesOrRefuses_andLosesNothing(bool killedMeanwhile)
    {
        using var folder = await FaultFolder.MakeAsync();
        Burst burst;
        await using (var service = await ServiceProcess.StartAsync(folder.Data))
        {
            using var client = new Client(service.Address, folder.Key);
            burst = new Burst(await MeasuredHorse.SettleAsync(client));
            var load = burst.RunAsync(client, 12, () => burst.Refused == 0);
            while (burst.Taken < 60)
                await Task.Yield();
            var watch = Stopwatch.StartNew();
            if (killedMeanwhile)
            {
                await service.SignalAsync("TERM");
                await service.KillAsync();
            }
            else
            {
                var (exit, errors) = await service.TerminateAsync();
                Assert.True(exit == 0, errors);
                Assert.True(watch.Elapsed < InTime, $"It took {watch.Elapsed.TotalSeconds:0.0} s to end.");
                Assert.DoesNotContain("xception", errors, StringComparison.Ordinal);
            }
            TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture, $"Gone after {watch.Elapsed.TotalSeconds:0.00} s."));
            await load;
        }
        await folder.SettleAsync(burst);
    }
}
