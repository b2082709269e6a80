using System.Text.RegularExpressions;

namespace BackTracker.Service.Pages;

/// <summary>What programs are told about a member, as people are told it beside the field.</summary>
internal static partial class FormWords
{
    public static string Of(string text) => PlainDays.In(
        Missing().IsMatch(text) ? "This is needed."
        : Between().Match(text) is { Success: true } range ? $"From {range.Groups[1]} to {range.Groups[2]}."
        : Longest().Match(text) is { Success: true } length ? $"At most {length.Groups[2]}{(length.Groups[1].Value == "string" ? " characters" : "")}."
        : Who().Match(text) is { Success: true } who ? $"Choose {who.Groups[1]}."
        : Aside().Replace(text, "").Replace("`", "", StringComparison.Ordinal));

    [GeneratedRegex(@"^\w+ is required\.$")]
    private static partial Regex Missing();

    [GeneratedRegex(@"^\w+ must be between (\S+) and (\S+)\.$")]
    private static partial Regex Between();

    // "note must be a string with a minimum length of 1 and a maximum length of 2000."
    [GeneratedRegex(@"^\w+ must be a (string|string or array type) with a .*\bmaximum length of '?(\d+)'?\.$")]
    private static partial Regex Longest();

    // "Say who comes: fitterId is the id of a person."
    [GeneratedRegex(@"^Say (who[^:]*): \w+ is the id of")]
    private static partial Regex Who();

    // "(planned: true)"
    [GeneratedRegex(@" \(\w+: \w+\)")]
    private static partial Regex Aside();
}
