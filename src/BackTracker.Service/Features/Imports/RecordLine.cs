using System.Globalization;
using System.Text.Json;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Exports;

namespace BackTracker.Service.Features.Imports;

/// <summary>A line of an export, read member by member into a row.</summary>
/// <param name="kind">Its kind.</param>
/// <param name="line">Number of the line.</param>
/// <param name="faults">Takes what is wrong.</param>
internal sealed class RecordLine(RecordKind kind, long line, ImportFaults faults)
{
    public RecordKind Kind => kind;

    public long Line => line;

    /// <summary>The row; null where a member is at fault.</summary>
    public object?[]? Row { get; private set; }

    /// <summary>Whether the record brings with it how it came to be, as an export does.</summary>
    public bool IsKept { get; private set; }

    public void Read(JsonElement record, DateTimeOffset now)
    {
        var before = faults.Count;
        var row = new object?[kind.Members.Count];
        for (var i = 0; i < row.Length; i++)
            row[i] = Value(kind.Members[i], record, now);
        foreach (var member in record.EnumerateObject())
            if (member.Name != "kind" && !RecordRules.Takes(kind, member.Name))
                faults.Add(line, member.Name, $"A record of kind {kind.Name} has no such member. Look for a misspelling.");
        Row = faults.Count == before ? row : null;
    }

    private object? Value(RecordMember member, JsonElement record, DateTimeOffset now)
    {
        if (member.Type == MemberType.Inline)
            return null;
        if (!record.TryGetProperty(member.Name, out var value) || value.ValueKind == JsonValueKind.Null)
            return Standard(member, now);
        IsKept |= member.IsKept;
        var (read, hint) = Read(member, value);
        if (read is null)
            faults.Add(line, member.Name, hint);
        return read;
    }

    private object? Standard(RecordMember member, DateTimeOffset now)
    {
        if (member.IsNeeded)
            faults.Add(line, member.Name, "This is missing and has to be given.");
        return member switch
        {
            { Type: MemberType.Id, Names: "" } => Ids.New(now),
            { Default: "now" } => Instants.Write(now),
            { Default: "" } => member.Column.EndsWith("_told_for", StringComparison.Ordinal) ? "" : null,
            { Type: MemberType.Flag } => 0L,
            { Type: MemberType.Count } => long.Parse(member.Default, CultureInfo.InvariantCulture),
            _ => member.Default,
        };
    }

    private static (object? Value, string Hint) Read(RecordMember member, JsonElement value) => member.Type switch
    {
        MemberType.Json => (value.GetRawText(), ""),
        MemberType.Flag => (value.ValueKind switch { JsonValueKind.True => 1L, JsonValueKind.False => 0L, _ => null }, "Write true or false."),
        MemberType.Count => (value.ValueKind == JsonValueKind.Number && value.TryGetInt64(out var count) ? count : null, "Write a whole number."),
        MemberType.Number => (value.ValueKind == JsonValueKind.Number && value.TryGetDouble(out var number) && double.IsFinite(number) ? number : null, "Write a finite number."),
        MemberType.Id => (value.ValueKind == JsonValueKind.String ? Ids.Canonical(value.GetString()) : null, "Write an id such as 0198b2f2-7c1e-7a3b-9d04-5f6a7b8c9d0e."),
        MemberType.Day => (Text(value) is { } day && Instants.IsDay(day) ? day : null, QueryDay.Hint),
        MemberType.Instant => (Instant(value), "Write an instant as 2026-03-14T09:30:00+01:00 or ...Z."),
        _ => (Text(value), "Write text without control characters."),
    };

    private static string? Instant(JsonElement value)
    {
        try
        {
            return Instants.Write(value.Deserialize<DateTimeOffset>(Json.Options));
        }
        catch (JsonException)
        {
            return null;
        }
    }

    private static string? Text(JsonElement value)
    {
        try
        {
            return value.Deserialize<string>(Json.Options);
        }
        catch (JsonException)
        {
            return null;
        }
    }
}
