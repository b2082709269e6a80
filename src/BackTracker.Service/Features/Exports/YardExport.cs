using System.Text.Encodings.Web;
using System.Text.Json;
using BackTracker.Storage.Exports;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Exports;

/// <summary>Writes everything of a yard as it is at one moment, a JSON object a line, in an order that can be taken in again.</summary>
/// <param name="to">Where to.</param>
internal sealed class YardExport(Stream to) : IDisposable
{
    private static readonly JsonWriterOptions Compact = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping, SkipValidation = true };
    private readonly MemoryStream _line = new();
    private Utf8JsonWriter? _json;

    /// <summary>Records written so far.</summary>
    public long Records { get; private set; }

    public async Task WriteAsync(Database database, string yardId, CancellationToken cancel)
    {
        await using var session = await database.SnapshotAsync(cancel);
        foreach (var kind in RecordKinds.All)
            await foreach (var row in RecordStore.OfYardAsync(session, kind, yardId, cancel))
            {
                Put(kind, row);
                await to.WriteAsync(_line.GetBuffer().AsMemory(0, (int)_line.Length), cancel);
                Records++;
            }
        await to.FlushAsync(cancel);
    }

    public void Dispose()
    {
        _json?.Dispose();
        _line.Dispose();
    }

    private void Put(RecordKind kind, object?[] row)
    {
        _line.SetLength(0);
        _json ??= new Utf8JsonWriter(_line, Compact);
        _json.Reset();
        _json.WriteStartObject();
        _json.WriteString("kind", kind.Name);
        for (var i = 0; i < row.Length; i++)
            if (row[i] is { } value)
                Put(kind.Members[i], value);
        _json.WriteEndObject();
        _json.Flush();
        _line.WriteByte((byte)'\n');
    }

    private void Put(RecordMember member, object value)
    {
        if (member.Type == MemberType.Inline)
        {
            using var members = JsonDocument.Parse((string)value);
            foreach (var inner in members.RootElement.EnumerateObject())
                Put(inner.Name, inner.Value.GetRawText());
        }
        else if (member.Type == MemberType.Json)
            Put(member.Name, (string)value);
        else if (member.Type == MemberType.Flag)
            _json!.WriteBoolean(member.Name, (long)value != 0);
        else if (value is long count)
            _json!.WriteNumber(member.Name, count);
        else if (value is double number)
            _json!.WriteNumber(member.Name, number);
        else
            _json!.WriteString(member.Name, (string)value);
    }

    private void Put(string name, string json)
    {
        _json!.WritePropertyName(name);
        _json.WriteRawValue(json, skipInputValidation: true);
    }
}
