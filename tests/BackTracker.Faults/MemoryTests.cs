using System.Globalization;

namespace BackTracker.Faults;

/// <summary>The real binary with too little memory for what is asked of it: what it cannot do it refuses, and what it acknowledged is there even where it ended.</summary>
public sealed class MemoryTests
{
    // A heap of 40 MB; beside nothing else it runs in about 30.
    private static readonly Dictionary<string, string> SmallHeap = new() { ["DOTNET_GCHeapHardLimit"] = "2800000" };

    [Fact]
    public async Task Heap_tooSmallForTheLoad_losesNothing()
    {
        using var folder = await FaultFolder.MakeAsync();
        Burst burst;
        var (served, refused) = (0, 0);
        await using (var service = await ServiceProcess.StartAsync(folder.Data, SmallHeap))
        {
            using var client = new Client(service.Address, folder.Key);
            var horse = await MeasuredHorse.SettleAsync(client);
            burst = new Burst(horse);
            await burst.RunAsync(client, 2, () => burst.Taken < 60);
            // Recomputed for every request, and the whole record on paper.
            var heavy = Enumerable.Range(0, 8).Select(_ => Task.Run(async () =>
            {
                for (var i = 0; i < 10; i++)
                    await CountAsync(client, i % 2 == 0 ? $"/v1/horses/{horse.HorseId}/trends" : "/openapi/v1.json");
            })).ToList();
            await burst.RunAsync(client, 4, () => burst.Taken < 120 && !heavy.All(task => task.IsCompleted));
            await Task.WhenAll(heavy);
            TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{served} heavy ones served, {refused} not."));
            await service.KillAsync();
        }
        await folder.SettleAsync(burst);

        async Task CountAsync(Client client, string path)
        {
            try
            {
                var status = await client.StatusAsync(path);
                Assert.True(status is 200 or 503, $"{path} was answered {status}.");
                Interlocked.Increment(ref status == 200 ? ref served : ref refused);
            }
            catch (HttpRequestException)
            {
                Interlocked.Increment(ref refused); // It has ended.
            }
        }
    }
}
