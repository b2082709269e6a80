using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace BackTracker.Service.Evaluation;

/// <summary>Holds computed values against expected ones: numbers within a tolerance, everything else exactly.</summary>
public static class CaseComparison
{
    /// <summary>Every place where the two differ; empty when they agree. Members that only the computed side has are no difference.</summary>
    /// <param name="expected">What the case expects.</param>
    /// <param name="actual">What was computed.</param>
    /// <param name="tolerance">`absolute` and/or `relative`; the larger of the two counts.</param>
    public static IReadOnlyList<string> Differences(JsonNode expected, JsonNode actual, JsonNode tolerance)
    {
        ArgumentNullException.ThrowIfNull(tolerance);
        var differences = new List<string>();
        var allowed = new Tolerance(tolerance.OptionalNumber("absolute") ?? 0, tolerance.OptionalNumber("relative") ?? 0);
        Compare("expected", expected, actual, allowed, differences);
        return differences;
    }

    private readonly record struct Tolerance(double Absolute, double Relative)
    {
        public double For(double value) => Math.Max(Absolute, Relative * Math.Abs(value));
    }

    private static void Compare(string path, JsonNode? expected, JsonNode? actual, Tolerance allowed, List<string> differences)
    {
        switch (expected, actual)
        {
            case (JsonObject wanted, JsonObject got):
                foreach (var (name, value) in wanted)
                {
                    if (got.ContainsKey(name))
                        Compare($"{path}.{name}", value, got[name], allowed, differences);
                    else
                        differences.Add($"{path}.{name}: missing");
                }
                break;
            case (JsonArray wanted, JsonArray got):
                if (wanted.Count != got.Count)
                    differences.Add($"{path}: {got.Count} entries instead of {wanted.Count}");
                for (var i = 0; i < Math.Min(wanted.Count, got.Count); i++)
                    Compare($"{path}[{i}]", wanted[i], got[i], allowed, differences);
                break;
            default:
                CompareValues(path, expected, actual, allowed, differences);
                break;
        }
    }

    private static void CompareValues(string path, JsonNode? expected, JsonNode? actual, Tolerance allowed, List<string> differences)
    {
        if (NumberOf(expected) is { } wanted && NumberOf(actual) is { } got)
        {
            var difference = Math.Abs(wanted - got);
            if (!(difference <= allowed.For(wanted)))
                differences.Add(string.Create(CultureInfo.InvariantCulture, $"{path}: {got:R} instead of {wanted:R}, off by {difference:G3}"));
        }
        else if (!JsonNode.DeepEquals(expected, actual))
        {
            differences.Add($"{path}: {Text(actual)} instead of {Text(expected)}");
        }
    }

    private static double? NumberOf(JsonNode? node) =>
        node is JsonValue value && value.GetValueKind() == JsonValueKind.Number ? CaseReader.AsNumber(value, "number") : null;

    private static string Text(JsonNode? node) => node?.ToJsonString() ?? "null";
}
