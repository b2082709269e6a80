extern alias schemas;
using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using schemas::Json.Schema;

namespace BackTracker.Service.Tests.OpenApi;

/// <summary>
/// Holds answers against an OpenAPI 3.1 document: the status is declared, the media type is the declared one, the declared headers are
/// there, and the body is valid against its schema with formats, and holds no member that the document does not name. What no operation
/// answers has to be a problem document.
/// </summary>
internal sealed partial class ContractChecker
{
    private const string ProblemType = "application/problem+json";
    private static readonly string[] Documented = ["ETag", "Link", "Location", "Idempotency-Replayed", "WWW-Authenticate", "Retry-After"];
    private readonly JsonObject _document;
    private readonly Uri _base = new($"urn:uuid:{Guid.NewGuid()}");
    private readonly EvaluationOptions _options = new() { OutputFormat = OutputFormat.Hierarchical, RequireFormatValidation = true };
    private readonly List<Operation> _operations;

    public ContractChecker(string documentJson)
    {
        _document = JsonNode.Parse(documentJson)!.AsObject();
        Close(_document["components"]?["schemas"]);
        _options.SchemaRegistry.Register(new JsonNodeBaseDocument(_document, _base));
        _operations = [.. from path in _document["paths"]!.AsObject() from method in path.Value!.AsObject() select new Operation(path.Key, method.Key)];
    }

    /// <summary>Names every way in which an answer is not what the document says; none where it is.</summary>
    /// <param name="method">HTTP method of the request.</param>
    /// <param name="path">Path of the request; a query may follow.</param>
    /// <param name="status">Status of the answer.</param>
    /// <param name="contentType">Its Content-Type; null where it has none.</param>
    /// <param name="headers">Its headers by name.</param>
    /// <param name="body">Its body as text; empty or null where it has none.</param>
    public IReadOnlyList<string> Check(string method, string path, int status, string? contentType, IReadOnlyDictionary<string, string> headers, string? body)
    {
        var faults = new List<string>();
        var mediaType = contentType?.Split(';')[0].Trim();
        if (Find(method, path) is not { } operation)
            CheckStray(faults, status, mediaType, body);
        else if (Response(operation, status) is not { } response)
            faults.Add($"status {status} is not declared");
        else
        {
            CheckHeaders(faults, response.Node, headers);
            CheckContent(faults, response, mediaType, body);
        }
        return [.. faults.Select(fault => $"{method} {path} {status}: {fault}")];
    }

    /// <summary>Validates JSON against the schema at a pointer of the document, such as `/components/schemas/CheckAnswer`.</summary>
    public IReadOnlyList<string> CheckJson(string pointer, JsonNode? json)
    {
        var schema = new JsonSchemaBuilder().Ref($"{_base}#{pointer}").Build();
        var result = schema.Evaluate(json, _options);
        return [.. Faults(result).Distinct()];
    }

    /// <summary>Where the document holds the schema of an event.</summary>
    public static string EventPointer(string type) => $"/webhooks/{type}/post/requestBody/content/{Escape("application/cloudevents+json")}/schema";

    /// <summary>Path of the operation that answers a request, as the document writes it; empty where none does.</summary>
    public string OperationOf(string method, string path) => Find(method, path)?.Path ?? "";

    private Operation? Find(string method, string path)
    {
        var address = path.Split('?')[0];
        return _operations.Where(o => o.Method.Equals(method, StringComparison.OrdinalIgnoreCase) && o.Pattern.IsMatch(address))
            .OrderBy(o => o.Path.Count(c => c == '{')).FirstOrDefault();
    }

    private (string Pointer, JsonNode Node)? Response(Operation operation, int status)
    {
        var pointer = $"/paths/{Escape(operation.Path)}/{operation.Method}/responses/{status.ToString(CultureInfo.InvariantCulture)}";
        var node = At(pointer);
        return node?["$ref"] is { } reference ? (reference.GetValue<string>()[1..], At(reference.GetValue<string>()[1..])!) : node is null ? null : (pointer, node);
    }

    private void CheckStray(List<string> faults, int status, string? mediaType, string? body)
    {
        if (status < 400 || mediaType != ProblemType)
            faults.Add($"no operation of the document answers this, and it is no problem document but {mediaType ?? "nothing"}");
        else
            CheckBody(faults, "/components/schemas/ProblemDocument", body);
    }

    private static void CheckHeaders(List<string> faults, JsonNode response, IReadOnlyDictionary<string, string> headers)
    {
        var declared = response["headers"]?.AsObject();
        var sent = headers.Keys.ToHashSet(StringComparer.OrdinalIgnoreCase);
        foreach (var (name, header) in declared ?? [])
            if (header?["required"]?.GetValue<bool>() == true && !sent.Contains(name))
                faults.Add($"the header {name} is missing");
        foreach (var name in Documented.Where(name => sent.Contains(name) && declared?.ContainsKey(name) != true))
            faults.Add($"the header {name} is not declared");
    }

    private void CheckContent(List<string> faults, (string Pointer, JsonNode Node) response, string? mediaType, string? body)
    {
        if (response.Node["content"] is not JsonObject content)
        {
            if (!string.IsNullOrEmpty(body))
                faults.Add("a body is sent where none is declared");
        }
        else if (mediaType is null || !content.ContainsKey(mediaType))
            faults.Add($"the media type is {mediaType ?? "missing"}, declared is {string.Join(", ", content.Select(c => c.Key))}");
        else if (mediaType == "application/x-ndjson")
            faults.AddRange(body!.Split('\n', StringSplitOptions.RemoveEmptyEntries).Where(line => !IsObject(line)).Select(line => $"a line is no JSON object: {line}"));
        else if (mediaType.EndsWith("json", StringComparison.Ordinal))
            CheckBody(faults, $"{response.Pointer}/content/{Escape(mediaType)}/schema", body);
    }

    private void CheckBody(List<string> faults, string pointer, string? body)
    {
        try
        {
            faults.AddRange(CheckJson(pointer, JsonNode.Parse(body ?? "", documentOptions: new JsonDocumentOptions { AllowDuplicateProperties = false })));
        }
        catch (JsonException error)
        {
            faults.Add($"the body is not JSON: {error.Message}");
        }
    }

    private static bool IsObject(string line)
    {
        try
        {
            return JsonNode.Parse(line) is JsonObject;
        }
        catch (JsonException)
        {
            return false;
        }
    }

    private static IEnumerable<string> Faults(EvaluationResults result) => result.IsValid
        ? []
        : (result.Errors ?? new Dictionary<string, string>()).Select(e => $"{result.InstanceLocation}: {(e.Value.Length > 0 ? e.Value : e.Key)}").Concat(result.Details.SelectMany(Faults));

    /// <summary>Answers may grow for readers; here every member has to be named.</summary>
    private static void Close(JsonNode? node)
    {
        if (node is JsonObject schema && schema["properties"] is JsonObject && schema["type"] is not null && !schema.ContainsKey("additionalProperties"))
            schema["additionalProperties"] = false;
        foreach (var child in node switch { JsonObject o => o.Select(p => p.Value), JsonArray a => a, _ => [] })
            Close(child);
    }

    private JsonNode? At(string pointer) => pointer[1..].Split('/').Aggregate((JsonNode?)_document, (node, step) => node?[step.Replace("~1", "/", StringComparison.Ordinal).Replace("~0", "~", StringComparison.Ordinal)]);

    private static string Escape(string step) => step.Replace("~", "~0", StringComparison.Ordinal).Replace("/", "~1", StringComparison.Ordinal);

    private sealed record Operation(string Path, string Method)
    {
        public Regex Pattern { get; } = new($"^{Parameter().Replace(Regex.Escape(Path), "[^/]+")}$");
    }

    [GeneratedRegex(@"\\\{[^}]+\}")]
    private static partial Regex Parameter();
}
