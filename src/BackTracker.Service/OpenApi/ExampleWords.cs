using System.Buffers.Binary;
using System.Reflection;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace BackTracker.Service.OpenApi;

/// <summary>Examples.json: whole requests by schema, members by name (or by schema and name), problems by kind. `$horseId` stands for the id of the horse, and so on.</summary>
internal static class ExampleWords
{
    private static readonly Lazy<JsonNode> Written = new(Load);

    public static JsonNode? Request(string schema) => Written.Value["requests"]![schema]?.DeepClone();

    public static JsonNode? Problem(string kind) => Written.Value["problems"]![kind];

    public static JsonNode? Member(string owner, string name) =>
        (Written.Value["members"]![$"{owner}.{name}"] ?? Written.Value["members"]![name])?.DeepClone();

    /// <summary>An id that stays the same for the same thing in every example.</summary>
    public static string Id(string thing)
    {
        var name = JsonNamingPolicy.CamelCase.ConvertName(thing);
        var number = BinaryPrimitives.ReadUInt32BigEndian(SHA256.HashData(Encoding.UTF8.GetBytes(name.EndsWith("Id", StringComparison.Ordinal) ? name[..^2] : name)));
        return $"0199f6c2-0000-7000-8000-0000{number:x8}";
    }

    private static JsonNode Load()
    {
        using var stream = Assembly.GetExecutingAssembly().GetManifestResourceStream("BackTracker.Service.OpenApi.Examples.json")!;
        return WithIds(JsonNode.Parse(stream)!)!;
    }

    private static JsonNode? WithIds(JsonNode? node) => node switch
    {
        JsonObject whole => new JsonObject(whole.Select(p => KeyValuePair.Create(p.Key, WithIds(p.Value)))),
        JsonArray list => new JsonArray([.. list.Select(WithIds)]),
        JsonValue value when value.TryGetValue<string>(out var text) && text.StartsWith('$') => Id(text[1..]),
        _ => node?.DeepClone(),
    };
}
