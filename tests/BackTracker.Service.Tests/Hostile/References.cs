using System.Text.Json.Nodes;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>A body and one place in it that names a thing.</summary>
internal sealed record Reference(JsonNode Body, IReadOnlyList<object> Place, bool IsList)
{
    /// <summary>The body with another id at that place.</summary>
    public JsonNode With(string id)
    {
        var copy = Body.DeepClone();
        var parent = Place.SkipLast(1).Aggregate(copy, (node, step) => step is int index ? node[index]! : node[(string)step]!);
        parent[(string)Place[^1]] = IsList ? new JsonArray(id) : id;
        return copy;
    }
}

/// <summary>Finds the places of a body, there or possible by its schema, that name a thing.</summary>
internal static class References
{
    public static IEnumerable<Reference> In(JsonNode body, JsonNode schema, JsonNode document) =>
        Places(body, schema, document, []).Select(found => new Reference(body, found.Place, found.IsList));

    private static IEnumerable<(IReadOnlyList<object> Place, bool IsList)> Places(JsonNode? body, JsonNode schema, JsonNode document, IReadOnlyList<object> at)
    {
        var resolved = schema["$ref"] is { } reference ? reference.GetValue<string>()[2..].Split('/').Aggregate(document, (node, step) => node[step]!) : schema;
        if (body is JsonArray list)
            return list.SelectMany((element, i) => Places(element, resolved["items"]!, document, [.. at, i]));
        if (body is not JsonObject members)
            return [];
        return (resolved["properties"]?.AsObject() ?? []).SelectMany(property => IdPool.KindOf(property.Key) is not null
            ? [([.. at, property.Key], property.Key.EndsWith("Ids", StringComparison.Ordinal))]
            : Places(members[property.Key], property.Value!, document, [.. at, property.Key]));
    }
}
