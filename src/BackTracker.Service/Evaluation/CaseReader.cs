using System.Text.Json.Nodes;

namespace BackTracker.Service.Evaluation;

/// <summary>Reads members of a case and names the member where one is missing or of another kind than expected.</summary>
internal static class CaseReader
{
    public static JsonNode Input(JsonNode caseFile) => caseFile.Member("input");

    public static JsonNode Member(this JsonNode node, string name) =>
        node.Optional(name) ?? throw new FormatException($"{PathOf(node, name)} is missing.");

    /// <summary>The member, or null where it is absent or null.</summary>
    public static JsonNode? Optional(this JsonNode node, string name) =>
        node is JsonObject @object ? @object[name] : throw new FormatException($"{PathOf(node, null)} is not an object.");

    public static double Number(this JsonNode node, string name) => AsNumber(node.Member(name), PathOf(node, name));

    public static double? OptionalNumber(this JsonNode node, string name) =>
        node.Optional(name) is { } value ? AsNumber(value, PathOf(node, name)) : null;

    public static double NonNegative(this JsonNode node, string name)
    {
        var value = node.Number(name);
        return value >= 0 ? value : throw new FormatException($"{PathOf(node, name)} is negative.");
    }

    public static bool OptionalFlag(this JsonNode node, string name) => node.Optional(name) switch
    {
        null => false,
        JsonValue value when value.TryGetValue<bool>(out var flag) => flag,
        _ => throw new FormatException($"{PathOf(node, name)} is neither true nor false."),
    };

    public static JsonArray List(this JsonNode node, string name) =>
        node.Member(name) as JsonArray ?? throw new FormatException($"{PathOf(node, name)} is not an array.");

    public static JsonArray OptionalList(this JsonNode node, string name) => node.Optional(name) is null ? [] : node.List(name);

    public static double[] Numbers(this JsonNode node, string name) => AsNumbers(node.Member(name), PathOf(node, name));

    public static double[] NumbersOf(this JsonNode node, string name, int count)
    {
        var numbers = node.Numbers(name);
        return numbers.Length == count
            ? numbers
            : throw new FormatException($"{PathOf(node, name)} has {numbers.Length} entries where {count} are needed.");
    }

    public static double[] AsNumbers(JsonNode? node, string path)
    {
        var array = node as JsonArray ?? throw new FormatException($"{path} is not an array.");
        return [.. array.Select((item, i) => AsNumber(item, $"{path}[{i}]"))];
    }

    public static double AsNumber(JsonNode? node, string path) =>
        node is JsonValue value && value.TryGetValue<double>(out var number) && double.IsFinite(number)
            ? number
            : node is JsonValue whole && whole.TryGetValue<int>(out var integer) ? integer
            : throw new FormatException($"{path} is not a number.");

    public static JsonArray ToArray(IEnumerable<double> values) => [.. values.Select(value => (JsonNode)value)];

    private static string PathOf(JsonNode node, string? name)
    {
        var path = node.GetPath().TrimStart('$', '.');
        return (path, name) switch
        {
            (_, null) => path.Length > 0 ? path : "The case",
            ("", _) => name,
            _ => $"{path}.{name}",
        };
    }
}
