using System.Text.Json;
using System.Text.RegularExpressions;

namespace BackTracker.Service.Http;

/// <summary>Says in plain words, and by JSON pointer, why a body could not be read.</summary>
internal static partial class JsonFaults
{
    public static ProblemException Explain(JsonException error)
    {
        var pointer = Pointer(error.Path);
        if (UnknownMember().Match(error.Message) is { Success: true } unknown)
        {
            var name = unknown.Groups[1].Value;
            var text = $"'{name}' is not known here. Look for a misspelling; the document at /openapi/v1.json lists every member.";
            var step = "/" + Escape(name);
            return new ProblemException(ProblemKind.UnknownMember, text) { Errors = Faults(pointer.EndsWith(step, StringComparison.Ordinal) ? pointer : pointer + step, text) };
        }
        if (Duplicate().Match(error.Message) is { Success: true } twice)
        {
            var text = $"'{twice.Groups[1].Value}' stands there twice.";
            return new ProblemException(ProblemKind.Malformed, text) { Errors = Faults($"{pointer}/{Escape(twice.Groups[1].Value)}", text) };
        }
        if (error.InnerException is JsonException or null && NotJson().IsMatch(error.Message))
            return new ProblemException(ProblemKind.Malformed, $"The body is not valid JSON: look at line {error.LineNumber + 1}, byte {error.BytePositionInLine + 1}.");
        var plain = error.InnerException is FormatException or ArgumentException ? error.InnerException.Message : Plain(error.Message);
        return new ProblemException(ProblemKind.Malformed, plain) { Errors = pointer.Length == 0 ? Faults("/", plain) : Faults(pointer, plain) };
    }

    /// <summary>Says what is wrong with a request that could not be bound, or that its body is missing.</summary>
    public static ProblemException ExplainBinding(string message)
    {
        return message.Contains("body", StringComparison.Ordinal)
            ? new ProblemException(ProblemKind.Malformed, "The body is missing. Send a JSON object; the document at /openapi/v1.json says what it holds.")
            : new ProblemException(ProblemKind.Malformed, Plain(message));
    }

    /// <summary>The message without names of types and without the serialiser's own path.</summary>
    public static string Plain(string message)
    {
        if (WrongType().IsMatch(message))
            return "The value is of the wrong kind, or is missing where one is needed: the document at /openapi/v1.json says what it should be.";
        var end = message.IndexOf(" Path: ", StringComparison.Ordinal);
        return (end < 0 ? message : message[..end]).Replace("\"", "'", StringComparison.Ordinal);
    }

    private static Dictionary<string, string[]> Faults(string pointer, string text) => new() { [pointer] = [text] };

    private static string Pointer(string? path) => path is null or "$" ? "" :
        PathStep().Replace(path[1..], m => "/" + Escape(m.Groups[1].Success ? m.Groups[1].Value : m.Groups[2].Success ? m.Groups[2].Value : m.Groups[3].Value));

    // RFC 6901, section 3.
    private static string Escape(string step) => step.Replace("~", "~0", StringComparison.Ordinal).Replace("/", "~1", StringComparison.Ordinal);

    [GeneratedRegex(@"\.([A-Za-z_][A-Za-z0-9_]*|$)|\[(\d+)\]|\['(.*?)'\](?=[.\[]|$)", RegexOptions.Singleline)]
    private static partial Regex PathStep();

    [GeneratedRegex(@"The JSON property '(.*)' could not be mapped", RegexOptions.Singleline)]
    private static partial Regex UnknownMember();

    [GeneratedRegex("could not be converted to|Cannot get the value of a token|value could not|Nullable|System\\.")]
    private static partial Regex WrongType();

    [GeneratedRegex("Duplicate property '(.*?)' encountered", RegexOptions.Singleline)]
    private static partial Regex Duplicate();

    [GeneratedRegex("reader options|isFinalBlock|is an invalid|Expected |invalid JSON|end of data|depth")]
    private static partial Regex NotJson();
}
