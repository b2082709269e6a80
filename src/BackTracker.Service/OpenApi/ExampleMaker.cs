using System.Text.Json;
using System.Text.Json.Nodes;
using Microsoft.OpenApi;

namespace BackTracker.Service.OpenApi;

/// <summary>Puts an example of a schema together from the examples of its members; what may be null and has none of its own is null.</summary>
internal sealed class ExampleMaker(IDictionary<string, IOpenApiSchema> schemas)
{
    private const int Deepest = 12;

    public JsonNode? Of(IOpenApiSchema schema) => Of(schema, "", "", 0);

    public IOpenApiSchema Target(OpenApiSchemaReference reference) => schemas[reference.Reference.Id!];

    private JsonNode? Of(IOpenApiSchema schema, string owner, string member, int depth)
    {
        if (ExampleWords.Member(owner, member) is { } written && Fits(written, schema))
            return written;
        if (schema is OpenApiSchemaReference reference)
            return Of(Target(reference), reference.Reference.Id!, member, depth);
        if (schema.OneOf is { Count: > 0 } || schema.Type?.HasFlag(JsonSchemaType.Null) == true || depth > Deepest)
            return null;
        if (schema.Enum is { Count: > 0 } words)
            return words[0].DeepClone();
        if (schema.Type == JsonSchemaType.Array)
            return new JsonArray(Of(schema.Items!, owner, member.EndsWith("Ids", StringComparison.Ordinal) ? member[..^1] : "", depth + 1));
        return schema.Type == JsonSchemaType.Object ? Whole(schema, owner, depth) : Plain(schema, owner, member);
    }

    private JsonObject Whole(IOpenApiSchema schema, string owner, int depth)
    {
        var whole = new JsonObject();
        foreach (var (name, member) in schema.Properties ?? new Dictionary<string, IOpenApiSchema>())
            whole[name] = Of(member, owner, name, depth + 1);
        return whole;
    }

    private static JsonNode Plain(IOpenApiSchema schema, string owner, string member) => (schema.Type, schema.Format) switch
    {
        (JsonSchemaType.Boolean, _) => false,
        (JsonSchemaType.Integer or JsonSchemaType.Number, _) => JsonNode.Parse(schema.Minimum ?? "1")!,
        (_, "date") => "2026-11-25",
        (_, "date-time") => "2026-11-25T09:00:00.000Z",
        (_, "uuid") => ExampleWords.Id(member == "id" ? owner.Replace("Answer", "", StringComparison.Ordinal) : member),
        _ => "...",
    };

    /// <summary>A name may be of several kinds: `from` a day here, a word there.</summary>
    private bool Fits(JsonNode example, IOpenApiSchema schema)
    {
        var target = schema is OpenApiSchemaReference reference ? Target(reference) : schema;
        if (target.OneOf is { Count: > 0 } choices)
            return choices.Any(choice => Fits(example, choice));
        if (target.Enum is { Count: > 0 } words)
            return words.Any(word => JsonNode.DeepEquals(word, example));
        return example switch
        {
            JsonArray list => target.Type?.HasFlag(JsonSchemaType.Array) == true && list.All(entry => Fits(entry!, target.Items!)),
            JsonObject whole => target.Properties is { } members && whole.All(p => members.ContainsKey(p.Key)) && members.Keys.All(whole.ContainsKey),
            JsonValue value when value.GetValueKind() == JsonValueKind.String => target.Type?.HasFlag(JsonSchemaType.String) == true,
            JsonValue value when value.GetValueKind() == JsonValueKind.Number => target.Type is { } type && (type & (JsonSchemaType.Number | JsonSchemaType.Integer)) != 0,
            _ => target.Type?.HasFlag(JsonSchemaType.Boolean) == true,
        };
    }
}
