using System.Text.RegularExpressions;
using System.Xml.Linq;

namespace BackTracker.Service.OpenApi;

/// <summary>What the XML documentation of the Service and the Engine says of a type or a member, as one line of plain words.</summary>
internal static partial class XmlWords
{
    private static readonly Lazy<Dictionary<string, string>> Summaries = new(Load);

    public static IReadOnlyList<string> Files { get; } =
        [.. new[] { "backtracker.xml", "BackTracker.Engine.xml" }.Select(name => Path.Combine(AppContext.BaseDirectory, name))];

    public static string? Of(Type type) => Summaries.Value.GetValueOrDefault("T:" + NameOf(type));

    /// <summary>Of a field or a constant, a value of an enum among them.</summary>
    public static string? OfField(Type type, string field) => Summaries.Value.GetValueOrDefault($"F:{NameOf(type)}.{field}");

    private static Dictionary<string, string> Load() =>
        Files.SelectMany(file => XDocument.Load(file).Descendants("member"))
            .Where(member => member.Element("summary") is not null)
            .ToDictionary(member => member.Attribute("name")!.Value, member => Plain(member.Element("summary")!));

    private static string Plain(XElement summary)
    {
        foreach (var reference in summary.Descendants().Where(e => e.Attribute("cref") is not null).ToList())
            reference.Value = reference.Attribute("cref")!.Value.Split('.')[^1];
        return Blanks().Replace(summary.Value, " ").Trim();
    }

    private static string NameOf(Type type) => type.FullName!.Replace('+', '.');

    [GeneratedRegex(@"\s+")]
    private static partial Regex Blanks();
}
