using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using BackTracker.Faults.MixedLoad;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>One horse that is measured over and over, each time an hour earlier.</summary>
internal sealed record MeasuredHorse(string HorseId, string PersonId)
{
    private string Measurements => $"/v1/horses/{HorseId}/measurements";

    public static async Task<MeasuredHorse> SettleAsync(Client client)
    {
        var yardId = await client.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        var person = await client.MakeAsync("/v1/people", new { name = "Isla Brook", role = "yard-manager", yardIds = new[] { yardId } });
        return new(await client.MakeAsync("/v1/horses", new { yardId, name = "Bramble" }), person);
    }

    /// <summary>A measurement under a key of its own.</summary>
    public Work Measure(string key, int number) => new(WorkKind.Measure, HttpMethod.Post, Measurements, JsonSerializer.Serialize(new
    {
        measuredAt = DateTimeOffset.UtcNow.AddHours(-number - 1),
        measuredBy = PersonId,
        method = "calliper",
        exercise = "before",
        widths = new[] { new { station = "T13", depthMm = 150, widthMm = 300 + (number % 20) } },
    }))
    { Key = key };

    /// <summary>Measures until it is refused, and keeps the ids of what was taken.</summary>
    public async Task<(int Status, string Text)> MeasureUntilRefusedAsync(Client client, HashSet<string> taken)
    {
        while (taken.Count < 100_000)
        {
            var answer = await client.TryAsync(Measure(string.Create(CultureInfo.InvariantCulture, $"until-{taken.Count}"), taken.Count)) ?? throw new InvalidOperationException("No answer.");
            if (answer.Status != 201)
                return answer;
            taken.Add(JsonNode.Parse(answer.Text)!["id"]!.GetValue<string>());
        }
        throw new InvalidOperationException("Nothing was ever refused.");
    }

    /// <summary>Ids of everything that was kept.</summary>
    public async Task<HashSet<string>> IdsAsync(Client client) =>
        [.. (await client.AllAsync($"{Measurements}?limit=500")).Select(m => m["id"]!.GetValue<string>())];

    /// <summary>Waits until the horse's latest assessment has read every measurement.</summary>
    public async Task AssessedAsync(Client client, HashSet<string> ids)
    {
        HashSet<string> read = [];
        await Eventually.TrueAsync(
            async () => await client.AllAsync($"/v1/horses/{HorseId}/assessments?limit=500") is [.., var latest]
                && (read = [.. latest["inputs"]!["measurements"]!.AsArray().Select(m => m!["id"]!.GetValue<string>())]).SetEquals(ids),
            () => $"The latest assessment has read {read.Count} of {ids.Count} measurements.", withinSeconds: 120);
    }
}
