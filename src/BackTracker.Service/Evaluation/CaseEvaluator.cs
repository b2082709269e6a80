using System.Text.Json.Nodes;

namespace BackTracker.Service.Evaluation;

/// <summary>Computes what a check-value case expects, from its input alone.</summary>
public static class CaseEvaluator
{
    private static readonly SortedDictionary<string, Func<JsonNode, JsonNode>> ByKind = new(StringComparer.Ordinal)
    {
        ["contact"] = ContactCase.Evaluate,
        ["devyard"] = DevyardCase.Evaluate,
        ["fit"] = FitCase.Evaluate,
        ["grid-average"] = GridAverageCase.Evaluate,
        ["passage"] = PassageCase.Evaluate,
        ["profile"] = ProfileCase.Evaluate,
        ["profile-mean"] = ProfileMeanCase.Evaluate,
        ["repeatability"] = RepeatabilityCase.Evaluate,
        ["robust-trend"] = RobustTrendCase.Evaluate,
        ["trend"] = TrendCase.Evaluate,
    };

    /// <summary>Every kind that can be evaluated, in order.</summary>
    public static IReadOnlyCollection<string> Kinds => ByKind.Keys;

    /// <summary>Evaluates a case; the result has at least the members of its `expected`.</summary>
    /// <param name="kind">Kind of the case.</param>
    /// <param name="caseFile">The whole file, of which only `input` is read.</param>
    /// <exception cref="ArgumentException">The kind is unknown.</exception>
    /// <exception cref="FormatException">A member is missing, of the wrong type, or asks for what does not exist.</exception>
    public static JsonNode Evaluate(string kind, JsonNode caseFile)
    {
        ArgumentNullException.ThrowIfNull(caseFile);
        if (!ByKind.TryGetValue(kind, out var evaluate))
            throw new ArgumentException($"Unknown kind '{kind}'. Known kinds: {string.Join(", ", Kinds)}.", nameof(kind));
        try
        {
            return evaluate(caseFile);
        }
        catch (ArgumentException refused)
        {
            throw new FormatException($"input: {refused.Message}", refused);
        }
    }
}
