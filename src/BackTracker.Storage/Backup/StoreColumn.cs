using System.Text.Json;

namespace BackTracker.Storage.Backup;

/// <summary>What a column may hold, told from its name: the schema keeps to one way of naming.</summary>
internal sealed record StoreColumn(string Name, string Type, StoreColumn.Content Holds, bool IsRowId, bool NamesRows)
{
    private static readonly HashSet<string> Json =
    [
        "yards.closed_days", "people.working_days", "api_keys.scopes", "measurements.body", "measurements.advice", "tree_shapes.body", "pairings.tolerances",
        "assessments.inputs", "assessments.outputs", "checks.reasons", "checks.findings", "check_history.days", "adjustments.zones", "idempotency.body",
        "subscriptions.events", "messages.body", "outbox.body", "imports.body",
    ];

    internal enum Content
    {
        Anything,
        Id,
        Day,
        Instant,
        Json,
    }

    public static StoreColumn Of(string table, string name, string type) =>
        new(name, type.ToLowerInvariant(), Kind(table, name), name == "id", $"{table}.{name}" is "assessments.inputs" or "checks.reasons");

    /// <summary>What is wrong with a value; null where nothing is.</summary>
    public string? Fault(object value)
    {
        var fits = Type switch
        {
            "text" => value is string,
            "bigint" => value is long,
            "double precision" => value is double number && double.IsFinite(number),
            _ => true,
        };
        if (!fits)
            return $"holds {value}, which is not a {Type}";
        var text = value as string ?? "";
        return Holds switch
        {
            Content.Id when Ids.Canonical(text) != text => $"is no id: {text}",
            Content.Day when !Instants.IsDay(text) => $"is no day: {text}",
            Content.Instant when !Instants.IsInstant(text) => $"is no instant: {text}",
            Content.Json => JsonFault(text),
            _ => null,
        };
    }

    private static Content Kind(string table, string name) => name switch
    {
        _ when Json.Contains($"{table}.{name}") => Content.Json,
        "key_id" when table != "api_key_yards" => Content.Anything, // Also the service's own words for itself.
        "resource_id" => Content.Anything,
        "book_by" or "postponed_until" => Content.Day,
        "id" or "corrects" or "replaced_by" or "measured_by" or "done_by" or "outcome_by" => Content.Id,
        _ when name.EndsWith("_id", StringComparison.Ordinal) => Content.Id,
        _ when name.EndsWith("_at", StringComparison.Ordinal) => Content.Instant,
        _ when name.EndsWith("_on", StringComparison.Ordinal) || name.EndsWith("_day", StringComparison.Ordinal) => Content.Day,
        _ => Content.Anything,
    };

    private static string? JsonFault(string text)
    {
        try
        {
            using var document = JsonDocument.Parse(text);
            return null;
        }
        catch (JsonException error)
        {
            return $"is no JSON: {error.Message.ReplaceLineEndings(" ")}";
        }
    }
}

/// <summary>Ids mentioned in JSON that can be read.</summary>
internal static class JsonIds
{
    public static IReadOnlyList<string> In(string json)
    {
        using var document = JsonDocument.Parse(json);
        var found = new List<string>();
        Collect(document.RootElement, found);
        return found;
    }

    private static void Collect(JsonElement element, List<string> found)
    {
        if (element.ValueKind == JsonValueKind.Object)
            foreach (var member in element.EnumerateObject())
                Collect(member.Value, found);
        else if (element.ValueKind == JsonValueKind.Array)
            foreach (var item in element.EnumerateArray())
                Collect(item, found);
        else if (element.ValueKind == JsonValueKind.String && Ids.Canonical(element.GetString()) is { } id)
            found.Add(id);
    }
}
