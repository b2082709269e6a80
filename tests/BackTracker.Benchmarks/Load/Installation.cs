using System.Net.Http.Json;
using System.Text.Json.Nodes;

namespace BackTracker.Benchmarks.Load;

/// <summary>A horse of the herd with its saddle.</summary>
internal sealed record LoadHorse(string Id, string PairingId, string SaddleId);

/// <summary>A yard of the herd.</summary>
internal sealed record LoadYard(string Id, string ManagerId, string FitterId, string Calendar, IReadOnlyList<LoadHorse> Horses);

/// <summary>What the callers know of the installation, read over the API as they would.</summary>
internal static class Installation
{
    /// <summary>Every yard, each with a fitter who can be booked and a calendar that is subscribed to.</summary>
    public static async Task<IReadOnlyList<LoadYard>> SettleAsync(HttpClient http)
    {
        var yards = new List<LoadYard>();
        foreach (var yard in await AllAsync(http, "/v1/yards?limit=500"))
        {
            var id = Text(yard, "id");
            var manager = Text((await AllAsync(http, $"/v1/people?yardId={id}&role=yard-manager"))[0], "id");
            var fitter = Text(await PostAsync(http, "/v1/people", new { name = "Morwen Hale", role = "fitter", yardIds = new[] { id } }), "id");
            var calendar = Text(await PostAsync(http, $"/v1/people/{manager}/calendar-token", new { }), "url");
            var pairings = await AllAsync(http, $"/v1/pairings?yardId={id}&limit=500");
            yards.Add(new LoadYard(id, manager, fitter, new Uri(calendar).AbsolutePath, [.. pairings.Select(p => new LoadHorse(Text(p, "horseId"), Text(p, "id"), Text(p, "saddleId")))]));
        }
        return yards;
    }

    public static Task SubscribeAsync(HttpClient http, string url) => PostAsync(http, "/v1/subscriptions", new { url });

    /// <summary>Every item of a list, page after page.</summary>
    public static async Task<IReadOnlyList<JsonNode>> AllAsync(HttpClient http, string path)
    {
        var items = new List<JsonNode>();
        for (string? next = path; next is not null;)
        {
            var page = JsonNode.Parse(await http.GetStringAsync(next))!;
            items.AddRange(page["items"]!.AsArray().OfType<JsonNode>());
            next = page["next"]?.GetValue<string>();
        }
        return items;
    }

    public static string Text(JsonNode node, string member) => node[member]!.GetValue<string>();

    private static async Task<JsonNode> PostAsync(HttpClient http, string path, object body)
    {
        using var answer = await http.PostAsJsonAsync(path, body);
        var text = await answer.Content.ReadAsStringAsync();
        return answer.IsSuccessStatusCode ? JsonNode.Parse(text)! : throw new InvalidOperationException($"{path}: {text}");
    }
}
