using System.Globalization;
using System.Text.Json.Nodes;
using CsCheck;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>JSON that is valid by a schema of the document, with ids of things that are there.</summary>
internal sealed class SchemaGen(JsonNode document, IdPool pool, DateOnly today)
{
    private static readonly string[] Stations = ["T5", "T8", "T10", "T13", "T15", "T18"];

    public Gen<JsonNode?> Of(JsonNode schema, string member)
    {
        if (schema["$ref"] is { } reference)
            return Of(Resolve(reference.GetValue<string>()), member);
        if (schema["enum"] is JsonArray words)
            return Gen.OneOf([.. words.Select(word => word!.GetValue<string>())]).Select(word => (JsonNode?)word);
        var types = schema["type"] is JsonArray several ? several.Select(t => t!.GetValue<string>()).ToList() : [schema["type"]?.GetValue<string>() ?? "object"];
        var value = OfType(schema, types.First(t => t != "null"), member);
        return types.Contains("null") ? Gen.Frequency((9, value), (1, Gen.Const((JsonNode?)null))) : value;
    }

    private JsonNode Resolve(string reference) => reference[2..].Split('/').Aggregate(document, (node, step) => node[step]!);

    private Gen<JsonNode?> OfType(JsonNode schema, string type, string member) => type switch
    {
        "string" => Text(schema, member).Select(text => (JsonNode?)text),
        "boolean" => Gen.Bool.Select(value => (JsonNode?)value),
        "integer" => Gen.Int[(int)Bound(schema, "minimum", -3), (int)Bound(schema, "maximum", 400)].Select(value => (JsonNode?)value),
        "number" => Gen.Double[Bound(schema, "minimum", -10), Bound(schema, "maximum", 600)].Select(value => (JsonNode?)Math.Round(value, 3)),
        "array" => Array(schema, member),
        _ => Object(schema),
    };

    private Gen<string> Text(JsonNode schema, string member)
    {
        if (IdPool.KindOf(member) is { } kind)
            return pool.Any(kind);
        if (schema["format"]?.GetValue<string>() is "date")
            return Gen.Int[-60, 60].Select(days => today.AddDays(days).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));
        if (schema["format"]?.GetValue<string>() is "date-time")
            return Gen.Int[0, 60 * 24 * 60].Select(minutes => today.ToDateTime(default).AddMinutes(-minutes).ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture));
        if (member == "station")
            return Gen.OneOf(Stations);
        if (member == "timeZone")
            return Gen.OneOf("UTC", "Europe/London", "Pacific/Apia", "America/St_Johns", "Asia/Kathmandu");
        var shortest = (int)Bound(schema, "minLength", 0);
        return Gen.String[Gen.Char.AlphaNumeric, shortest, Math.Max(shortest, Math.Min((int)Bound(schema, "maxLength", 40), 40))];
    }

    private Gen<JsonNode?> Array(JsonNode schema, string member)
    {
        var fewest = (int)Bound(schema, "minItems", 0);
        return Of(schema["items"]!, member).Array[fewest, fewest + 3].Select(items => (JsonNode?)new JsonArray([.. items.Select(item => item?.DeepClone())]));
    }

    private Gen<JsonNode?> Object(JsonNode schema)
    {
        var required = schema["required"]?.AsArray().Select(name => name!.GetValue<string>()).ToHashSet() ?? [];
        Gen<(string Name, JsonNode? Value)[]> members = Gen.Const(System.Array.Empty<(string, JsonNode?)>());
        foreach (var (name, property) in schema["properties"]?.AsObject() ?? [])
        {
            var present = required.Contains(name) ? Gen.Const(true) : Gen.Int[0, 2].Select(i => i == 0);
            members = Gen.Select(members, present, Of(property!, name), (before, isThere, value) => isThere ? [.. before, (name, value)] : before);
        }
        return members.Select(all => (JsonNode?)new JsonObject(all.Select(m => KeyValuePair.Create(m.Name, m.Value?.DeepClone()))));
    }

    private static double Bound(JsonNode schema, string which, double otherwise) => schema[which] is { } bound ? double.Parse(bound.ToString(), CultureInfo.InvariantCulture) : otherwise;
}
