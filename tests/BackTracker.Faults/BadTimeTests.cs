using System.Globalization;
using System.Text.Json.Nodes;

namespace BackTracker.Faults;

/// <summary>Measurements that come late, twice at one instant, with mistakes and impossible dates: the trend is that of the right ones in order.</summary>
public sealed class BadTimeTests
{
    private const int Sessions = 12;

    [Fact]
    public async Task Trend_ofWhatCameInDisorder_isThatOfTheSortedSet()
    {
        using var folder = await FaultFolder.MakeAsync();
        await using var service = await ServiceProcess.StartAsync(folder.Data);
        using var client = new Client(service.Address, folder.Key);
        var yardId = await client.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        var person = await client.MakeAsync("/v1/people", new { name = "Isla Brook", role = "yard-manager", yardIds = new[] { yardId } });
        var (sorted, disordered) = (await client.MakeAsync("/v1/horses", new { yardId, name = "Sorted" }), await client.MakeAsync("/v1/horses", new { yardId, name = "Disordered" }));
        var begin = DateTimeOffset.UtcNow.AddDays(-200);
        Task<string> MeasureAsync(string horse, int session, double widthMm, string? corrects = null) => client.MakeAsync(
            $"/v1/horses/{horse}/measurements", Measurement(person, begin.AddDays(14 * session), widthMm, corrects));
        double Width(int session) => 310 + (session % 4);

        for (var session = 0; session < Sessions; session++)
        {
            await MeasureAsync(sorted, session, Width(session));
            if (session % 3 == 0)
                await MeasureAsync(sorted, session, Width(session) + 1); // Two at one instant.
        }
        var order = new Random(7);
        foreach (var session in Enumerable.Range(0, Sessions).OrderBy(_ => order.Next()))
        {
            if (session % 3 == 0)
                await MeasureAsync(disordered, session, Width(session) + 1);
            var wrong = session % 4 == 1 ? await MeasureAsync(disordered, session, Width(session) + 20) : null;
            await MeasureAsync(disordered, session, Width(session), wrong);
            if (session % 5 == 2)
                await client.MakeAsync($"/v1/measurements/{await MeasureAsync(disordered, session, 340)}/void", new { reason = "another horse" });
        }
        foreach (var (at, word) in new[] { (new DateTimeOffset(1900, 1, 1, 0, 0, 0, TimeSpan.Zero), "1960"), (DateTimeOffset.UtcNow.AddDays(1), "future") })
        {
            var refusal = await Assert.ThrowsAsync<InvalidOperationException>(() => client.MakeAsync($"/v1/horses/{disordered}/measurements", Measurement(person, at, 310, null)));
            Assert.Contains(word, refusal.Message, StringComparison.Ordinal);
        }

        var trends = await Task.WhenAll(new[] { sorted, disordered }.Select(horse => client.GetAsync($"/v1/horses/{horse}/trends")));
        Assert.NotEmpty(trends[0]["items"]!.AsArray());
        Assert.Equal(Numbers(trends[0]), Numbers(trends[1]));
    }

    private static Dictionary<string, object?> Measurement(string person, DateTimeOffset at, double widthMm, string? corrects)
    {
        var members = new Dictionary<string, object?>
        {
            ["measuredAt"] = at,
            ["measuredBy"] = person,
            ["method"] = "calliper",
            ["exercise"] = "before",
            ["widths"] = new[] { new { station = "T13", depthMm = 150, widthMm } },
        };
        if (corrects is not null)
            members["corrects"] = corrects;
        return members;
    }

    /// <summary>Every number and day of an answer, ids apart; to nine digits, since sums depend on the order of their parts.</summary>
    private static IReadOnlyList<string> Numbers(JsonNode? node) => node switch
    {
        JsonObject members => [.. members.Where(member => !member.Key.EndsWith("Id", StringComparison.Ordinal)).SelectMany(member => Numbers(member.Value).Select(number => $"{member.Key} {number}"))],
        JsonArray items => [.. items.SelectMany(Numbers)],
        JsonValue value when value.TryGetValue<double>(out var number) => [number.ToString("G9", CultureInfo.InvariantCulture)],
        _ => [node?.ToJsonString() ?? ""],
    };
}
