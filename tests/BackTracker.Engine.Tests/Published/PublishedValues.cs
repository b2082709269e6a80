using System.Runtime.CompilerServices;
using System.Text.Json.Nodes;

namespace BackTracker.Engine.Tests.Published;

/// <summary>Outside values kept beside the tests, each with its source inside.</summary>
internal static class PublishedValues
{
    public static JsonNode Read(string name, [CallerFilePath] string here = "") => JsonNode.Parse(
        File.ReadAllText(Path.Combine(Path.GetDirectoryName(here)!, "..", "..", "check-values", "published", $"{name}.json")))!;

    public static double[] Numbers(this JsonNode node, string name) => [.. node[name]!.AsArray().Select(value => value!.GetValue<double>())];

    public static double Number(this JsonNode node, string name) => node[name]!.GetValue<double>();
}
