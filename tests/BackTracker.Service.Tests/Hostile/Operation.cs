using System.Text.Json.Nodes;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>A parameter of an operation.</summary>
internal sealed record Parameter(string Name, string In, JsonNode Schema);

/// <summary>An operation of the document.</summary>
internal sealed record Operation(string Method, string Path)
{
    public IReadOnlyList<Parameter> Parameters { get; private init; } = [];

    /// <summary>Schema of the JSON it takes; null where it takes none.</summary>
    public JsonNode? Body { get; private init; }

    /// <summary>What it says of itself, the scopes it needs among it.</summary>
    public string Description { get; private init; } = "";

    public string Route => $"{Method} {Path}";

    public bool Takes(string header) => Parameters.Any(p => p.In == "header" && p.Name == header);

    /// <summary>The collection that a parameter of the path names one of.</summary>
    public string KindOf(string parameter)
    {
        var parts = Path.Split('/', StringSplitOptions.RemoveEmptyEntries);
        return parts[Array.IndexOf(parts, $"{{{parameter}}}") - 1];
    }

    public static IReadOnlyList<Operation> All(JsonNode document) =>
    [
        .. from path in document["paths"]!.AsObject()
           from method in path.Value!.AsObject()
           select new Operation(method.Key.ToUpperInvariant(), path.Key)
           {
               Description = method.Value!["description"]?.GetValue<string>() ?? "",
               Body = method.Value["requestBody"]?["content"]?["application/json"]?["schema"],
               Parameters = [.. (method.Value["parameters"]?.AsArray() ?? []).Select(p => Resolved(document, p!)).Select(p => new Parameter(p["name"]!.GetValue<string>(), p["in"]!.GetValue<string>(), p["schema"]!))],
           },
    ];

    private static JsonNode Resolved(JsonNode document, JsonNode parameter) => parameter["$ref"] is { } reference
        ? reference.GetValue<string>()[2..].Split('/').Aggregate(document, (node, step) => node[step]!)
        : parameter;
}
