using System.Runtime.CompilerServices;
using System.Text.Json.Nodes;

namespace BackTracker.Service.Tests.Evaluation;

/// <summary>The check-value files beside the tests.</summary>
internal static class CheckValues
{
    private static string Folder([CallerFilePath] string here = "") =>
        Path.GetFullPath(Path.Combine(Path.GetDirectoryName(here)!, "..", "..", "check-values"));

    public static IEnumerable<string> Names(string kind) =>
        Directory.GetFiles(Path.Combine(Folder(), kind), "*.json").Select(file => Path.GetFileNameWithoutExtension(file)).Order(StringComparer.Ordinal);

    public static JsonNode Read(string relativePath) => JsonNode.Parse(File.ReadAllText(Path.Combine(Folder(), relativePath)))!;
}
