using System.Text;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>A request that may be anything.</summary>
internal sealed record HostileRequest(string Method, string Path)
{
    /// <summary>Longest text that a person still reads.</summary>
    private const int Readable = 2000;

    /// <summary>Query as it stands in the address, pair by pair.</summary>
    public IReadOnlyList<string> Query { get; init; } = [];

    public IReadOnlyList<(string Name, string Value)> Headers { get; init; } = [];

    public HostileBody? Body { get; init; }

    /// <summary>Value of Content-Type where there is a body.</summary>
    public string ContentType { get; init; } = "application/json";

    public string Address => Query.Count == 0 ? Path : $"{Path}?{string.Join('&', Query)}";

    /// <summary>The request as somebody would repeat it.</summary>
    public string ToCurl()
    {
        var line = new StringBuilder($"curl -i -X {Method} --path-as-is '$BASE{Short(Address)}' -H \"Authorization: Bearer $KEY\"");
        foreach (var (name, value) in Headers)
            line.Append(System.Globalization.CultureInfo.InvariantCulture, $" -H '{name}: {Short(value)}'");
        if (Body is not null)
            line.Append(System.Globalization.CultureInfo.InvariantCulture, $" -H 'Content-Type: {ContentType}' --data-binary '{Short(Body.Text)}'{(Body.Twist == Twist.None ? "" : $" # twisted: {Body.Twist}")}");
        return line.ToString();
    }

    private static string Short(string text)
    {
        var escaped = string.Concat(text.Select(c => c < ' ' ? $"\\x{(int)c:x2}" : c.ToString()));
        return escaped.Length <= Readable ? escaped : $"{escaped[..200]}...({escaped.Length} characters)...{escaped[^200..]}";
    }
}
