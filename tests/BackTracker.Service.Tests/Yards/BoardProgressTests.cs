using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Yards;

/// <summary>How far the service is with a yard whose horses it looks at again, told to the board's page.</summary>
public sealed class BoardProgressTests
{
    private const string Data = "data: ";

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Progress_ofThreeHorsesLookedAtAgain_isShownAndTold_untilAllWere(StoreKind kind)
    {
        await using var service = await RunningService.StartAsync(kind, role: ServiceRole.Api);
        var yardId = await WaitingYardAsync(service);
        using var page = await PageClient.SignedInAsync(service);
        Assert.Contains($"""max="3" value="0" data-from="/yards/{yardId}/progress">""", (await page.GetAsync($"/yards/{yardId}")).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);

        var telling = page.GetAsync($"/yards/{yardId}/progress");
        await service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);
        var told = Told(await EndedAsync(service, telling));

        Assert.Equal(("All were looked at again.", 3L, 3L), (told[^1]["text"]!.GetValue<string>(), told[^1]["done"]!.GetValue<long>(), told[^1]["all"]!.GetValue<long>()));
        Assert.All(told.SkipLast(1), line => Assert.False(line["isOver"]!.GetValue<bool>()));
        Assert.DoesNotContain("<progress", (await page.GetAsync($"/yards/{yardId}")).Text, StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.NotFound, (await page.GetAsync("/yards/019f0000-0000-7000-8000-000000000000/progress")).Status);
    }

    // Whoever listens would else hold up the end of the service until its patience is over, and be cut off then.
    [Fact]
    public async Task Progress_serviceStops_endsTheStream()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yardId = await WaitingYardAsync(service);
        using var page = await PageClient.SignedInAsync(service);
        var telling = page.GetAsync($"/yards/{yardId}/progress");
        await Eventually.TrueAsync(() => Task.FromResult(service.Services.GetRequiredService<Drain>().UnderWay > 0), () => "Nobody listens.");

        await service.StopAsync();

        Assert.Equal("Something changed for 3 horses, and they are being looked at again.", Assert.Single(Told(await telling))["text"]!.GetValue<string>());
    }

    private static async Task<string> WaitingYardAsync(RunningService service)
    {
        var yardId = await service.YardAsync();
        foreach (var name in new[] { "Bramble", "Sedge", "Moss" })
            await service.HorseAsync(yardId, name);
        return yardId;
    }

    // The service looks again as its clock goes on.
    private static async Task<Reply> EndedAsync(RunningService service, Task<Reply> telling)
    {
        await Eventually.TrueAsync(
            () =>
            {
                service.Clock.Advance(TimeSpan.FromSeconds(1));
                return Task.FromResult(telling.IsCompleted);
            },
            () => "The stream does not end.");
        return await telling;
    }

    private static List<JsonNode> Told(Reply stream) =>
        [.. stream.Should(HttpStatusCode.OK).Text.Split('\n').Where(line => line.StartsWith(Data, StringComparison.Ordinal)).Select(line => JsonNode.Parse(line[Data.Length..])!)];
}
