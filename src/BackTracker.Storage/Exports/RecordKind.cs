namespace BackTracker.Storage.Exports;

/// <summary>What a member of an exported record holds.</summary>
public enum MemberType
{
    /// <summary>Text, words of the contract among it.</summary>
    Text,

    /// <summary>A day.</summary>
    Day,

    /// <summary>An instant.</summary>
    Instant,

    /// <summary>A number.</summary>
    Number,

    /// <summary>A whole number.</summary>
    Count,

    /// <summary>True or false.</summary>
    Flag,

    /// <summary>JSON, as it is.</summary>
    Json,

    /// <summary>A JSON object whose members stand among those of the record.</summary>
    Inline,

    /// <summary>Id of a record.</summary>
    Id,
}

/// <summary>A member of an exported record, and its column.</summary>
/// <param name="Column">The column.</param>
/// <param name="Name">Name of the member.</param>
/// <param name="Type">What it holds.</param>
/// <param name="Names">Table of the record whose id it is; empty for its own id and for what is no id.</param>
/// <param name="IsNeeded">Whether it has to be there.</param>
/// <param name="IsKept">Whether it tells how the record came to be here, which only an administrator takes over.</param>
/// <param name="Default">What holds where it is left out; empty for nothing, "now" for the time of the import.</param>
public sealed record RecordMember(string Column, string Name, MemberType Type, string Names, bool IsNeeded, bool IsKept, string Default)
{
    private static readonly Dictionary<string, MemberType> Types = new()
    {
        ["day"] = MemberType.Day,
        ["instant"] = MemberType.Instant,
        ["number"] = MemberType.Number,
        ["count"] = MemberType.Count,
        ["flag"] = MemberType.Flag,
        ["json"] = MemberType.Json,
        ["inline"] = MemberType.Inline,
        ["id"] = MemberType.Id,
        ["text"] = MemberType.Text,
    };

    /// <summary>Reads `column>name:type!~=default`, of which only the column has to be there; the type of a reference is the table it names.</summary>
    internal static RecordMember Of(string text)
    {
        var (head, standard) = Cut(text, '=');
        var (name, type) = Cut(head.TrimEnd('!', '~'), ':');
        var (column, renamed) = Cut(name, '>');
        var isReference = type.Length > 0 && !Types.ContainsKey(type);
        return new RecordMember(
            column, renamed.Length > 0 ? renamed : Camel(column), isReference ? MemberType.Id : type.Length > 0 ? Types[type] : MemberType.Text,
            isReference ? type : "", head.Contains('!', StringComparison.Ordinal), head.Contains('~', StringComparison.Ordinal), standard);
    }

    private static (string Before, string After) Cut(string text, char at) =>
        text.IndexOf(at, StringComparison.Ordinal) is var place and >= 0 ? (text[..place], text[(place + 1)..]) : (text, "");

    private static string Camel(string column) =>
        string.Concat(column.Split('_').Select((part, i) => i == 0 ? part : char.ToUpperInvariant(part[0]) + part[1..]));
}

/// <summary>A kind of record that a yard's export holds.</summary>
public sealed record RecordKind
{
    internal RecordKind(string name, string table, string ofYard, string seenBy, string members)
    {
        (Name, Table, OfYard, SeenBy) = (name, table, ofYard, seenBy);
        Members = [.. members.Split([' ', '\n', '\r'], StringSplitOptions.RemoveEmptyEntries).Select(RecordMember.Of)];
    }

    /// <summary>The `kind` on its lines.</summary>
    public string Name { get; }

    /// <summary>Its table.</summary>
    public string Table { get; }

    /// <summary>Its members; the first is the key.</summary>
    public IReadOnlyList<RecordMember> Members { get; }

    /// <summary>Whether its first member is an id of its own.</summary>
    public bool HasId => Members[0] is { Type: MemberType.Id, Names: "" };

    /// <summary>Condition on `t` that a row belongs to the yard @yardId.</summary>
    internal string OfYard { get; }

    /// <summary>The yard of a row `t`, as SQL.</summary>
    internal string SeenBy { get; }

    /// <summary>What is read in place of a column.</summary>
    internal IReadOnlyDictionary<string, string> Instead { get; init; } = new Dictionary<string, string>();

    internal string Columns => string.Join(", ", Members.Select(m => Instead.TryGetValue(m.Column, out var sql) ? $"{sql} as {m.Column}" : $"t.{m.Column}"));
}
