using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>The real binary on a disk that runs full at one moment or another: reads go on, nothing is half written, and room is all it takes to go on.</summary>
public sealed class DiskFullTests
{
    private const int MeasuredAfter = 20;

    // A new installation takes about 2 MiB.
    [Theory, InlineData(4), InlineData(7)]
    public async Task FullDisk_refusesChangesInWords_readsOn_andGoesOnOnceThereIsRoom(int mebibytes)
    {
        await using var disk = await SmallDisk.MountAsync(mebibytes);
        var key = await ServiceProcess.RunAsync("key", "add", "--data", disk.Folder, "--name", "faults", "--scopes", "admin");
        await using (var service = await ServiceProcess.StartAsync(disk.Folder))
        {
            using var client = new Client(service.Address, key);
            var horse = await MeasuredHorse.SettleAsync(client);
            var taken = new HashSet<string>();

            var refused = await horse.MeasureUntilRefusedAsync(client, taken);

            Assert.Equal(503, refused.Status);
            Assert.Contains("Nothing of the request was kept", JsonNode.Parse(refused.Text)!["detail"]!.GetValue<string>(), StringComparison.Ordinal);
            // The last few KiB may take a smaller change in between.
            await Eventually.TrueAsync(
                async () => (await horse.MeasureUntilRefusedAsync(client, taken)).Status == 503 && await client.StatusAsync("/health/ready") == 503,
                () => "It says that it is ready though it refuses changes.");
            Assert.Equal(200, await client.StatusAsync("/health/live"));
            Assert.Equal(taken.Order(), (await horse.IdsAsync(client)).Order());

            await disk.GrowAsync(64);
            await Eventually.TrueAsync(async () => await client.StatusAsync("/health/ready") == 200, () => "It is not ready though there is room.");
            for (var i = 0; i < MeasuredAfter; i++)
                taken.Add(await MeasureAsync(client, horse, i));
            Assert.Equal(taken.Order(), (await horse.IdsAsync(client)).Order());
            await horse.AssessedAsync(client, taken);
        }
        await ServiceProcess.RunAsync("verify", "--data", disk.Folder);
    }

    private static async Task<string> MeasureAsync(Client client, MeasuredHorse horse, int number)
    {
        var answer = await client.TryAsync(horse.Measure(string.Create(CultureInfo.InvariantCulture, $"after-{number}"), 50_000 + number));
        Assert.Equal(201, answer?.Status);
        return JsonNode.Parse(answer!.Value.Text)!["id"]!.GetValue<string>();
    }
}
