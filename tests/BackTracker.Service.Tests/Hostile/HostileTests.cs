using System.Globalization;
using System.Net;
using System.Text;
using BackTracker.Service.Tests.Harness;
using BackTracker.Service.Tests.OpenApi;
using BackTracker.Storage.Backup;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>
/// Requests to every operation, made from the document and then spoiled: whatever comes, the answer is one of those the document declares.
/// BACKTRACKER_FUZZ says how many, BACKTRACKER_SEED from which seed.
/// </summary>
public sealed class HostileTests
{
    private const int AtOnce = 4;
    private const int UsualCount = 2000;

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task AnyRequest_isAnsweredAsTheDocumentSaysAndChangesNothingElsewhere(StoreKind store)
    {
        var seed = (ulong)Number("BACKTRACKER_SEED", Environment.TickCount & int.MaxValue);
        var count = Number("BACKTRACKER_FUZZ", UsualCount);
        TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture, $"Seed {seed}, {count} requests on {store}."));
        await using var service = await RunningService.StartAsync(store, settings: RouteWorld.Settings);
        var yard = await Yardful.SettleAsync(service);
        var world = await RouteWorld.SettleAsync(service, yard);
        var neighbours = await Yardful.SettleAsync(service, "Mill Bottom");
        var theirs = await RouteWorld.SettleAsync(service, neighbours);
        await service.SettledAsync();
        var before = await NeighboursAsync(service, neighbours);
        var key = (await service.Admin.PostAsync("/v1/keys", new { name = "hostile", scopes = new[] { "admin" }, yardIds = new[] { yard.YardId } }))["secret"]!.GetValue<string>();

        using var round = new HostileRound(service.Address, key, (await service.Admin.GetAsync("/openapi/v1.json")).Text, (world, theirs), yard.Today);
        await round.RunAsync(seed, count, AtOnce);

        TestContext.Current.TestOutputHelper!.WriteLine($"{round.Done.Values.Sum()} did what they asked. Never did: {string.Join(", ", round.Asked.Except(round.Done.Keys))}.");
        Assert.True(round.Faults.Count == 0, $"Seed {seed}: {round.Faults.Count} kinds of fault in {count} requests.\n{string.Join("\n\n", round.Faults.Values)}");
        await service.SettledAsync(120);
        Assert.Equal(before, await NeighboursAsync(service, neighbours));
        Assert.Empty((await StoreCheck.RunAsync(service.Database.Dialect, TestContext.Current.CancellationToken)).Faults);
        (await service.Admin.GetAsync($"/v1/yards/{yard.YardId}/board")).Should(HttpStatusCode.OK);
        Assert.True(count < UsualCount || round.Done.Count > round.Asked.Count() * 3 / 4, $"Only {round.Done.Count} operations ever did what they were asked.");
    }

    /// <summary>Everything that somebody in the other yard can read of it.</summary>
    private static async Task<string> NeighboursAsync(RunningService service, Yardful neighbours)
    {
        var reader = await neighbours.KeyOfAsync(null, "admin");
        var told = new StringBuilder();
        foreach (var list in new[] { "yards", "people", "horses", "saddles", "pairings", "measurements", "observations", "events", "rides", "phases", "moves", "checks", "visits", "alerts", "quiet-periods", "subscriptions" })
            told.AppendLine((await reader.GetAsync($"/v1/{list}?limit=500")).Should(HttpStatusCode.OK).Text);
        return told.ToString();
    }

    private static int Number(string variable, int otherwise) =>
        int.TryParse(Environment.GetEnvironmentVariable(variable), CultureInfo.InvariantCulture, out var number) ? number : otherwise;
}
