using System.Text;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Exports;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>Records of any kind but measurements that are ready to be written, in a file of their own.</summary>
internal sealed class PreparedRecords : IDisposable
{
    private readonly FileStream _file;
    private readonly BinaryWriter _to;
    private readonly Dictionary<string, long> _counts = [];

    public PreparedRecords(string folder)
    {
        _file = TempFile.Create(folder);
        _to = new BinaryWriter(_file, Encoding.UTF8, leaveOpen: true);
    }

    /// <summary>How many there are by kind.</summary>
    public IReadOnlyDictionary<string, long> Counts => _counts;

    public void Add(RecordKind kind, object?[] row)
    {
        _to.Write(kind.Name);
        foreach (var value in row)
            Write(value);
        _counts[kind.Name] = _counts.GetValueOrDefault(kind.Name) + 1;
    }

    /// <summary>Writes all of them in the order in which they came, those of one kind that follow each other in one go.</summary>
    public async Task WriteAsync(WriteSession session)
    {
        _to.Flush();
        _file.Position = 0;
        using var from = new BinaryReader(_file, Encoding.UTF8, leaveOpen: true);
        for (var kind = ReadKind(from); kind is not null;)
        {
            var (now, next) = (kind, default(RecordKind));
            if (now.Name == "yard")
                next = await WriteYardAsync(session, now, from);
            else
                await RecordStore.AddManyAsync(session, now, Run(from, now, following => next = following));
            kind = next;
        }
        await NoteAsync(session);
    }

    public void Dispose()
    {
        _to.Dispose();
        _file.Dispose();
    }

    private static async Task<RecordKind?> WriteYardAsync(WriteSession session, RecordKind kind, BinaryReader from)
    {
        var row = ReadRow(from, kind);
        if (!await RecordStore.FillYardAsync(session, row))
            await RecordStore.AddManyAsync(session, kind, [row]);
        return ReadKind(from);
    }

    private static IEnumerable<object?[]> Run(BinaryReader from, RecordKind kind, Action<RecordKind?> follows)
    {
        RecordKind? next;
        do
        {
            yield return ReadRow(from, kind);
            next = ReadKind(from);
        }
        while (next == kind);
        follows(next);
    }

    private async Task NoteAsync(WriteSession session)
    {
        foreach (var kind in RecordKinds.All.Where(k => k.HasId && _counts.ContainsKey(k.Name)))
        {
            _file.Position = 0;
            using var from = new BinaryReader(_file, Encoding.UTF8, leaveOpen: true);
            await AuditStore.NoteManyAsync(session, "create", kind.Name, IdsOf(from, kind));
        }
    }

    private static IEnumerable<string> IdsOf(BinaryReader from, RecordKind wanted)
    {
        while (ReadKind(from) is { } kind)
            if (ReadRow(from, kind) is var row && kind == wanted)
                yield return (string)row[0]!;
    }

    private static RecordKind? ReadKind(BinaryReader from) => from.PeekChar() < 0 ? null : RecordKinds.ByName[from.ReadString()];

    private static object?[] ReadRow(BinaryReader from, RecordKind kind)
    {
        var row = new object?[kind.Members.Count];
        for (var i = 0; i < row.Length; i++)
            row[i] = from.ReadChar() switch { 't' => from.ReadString(), 'n' => from.ReadInt64(), 'd' => from.ReadDouble(), _ => null };
        return row;
    }

    private void Write(object? value)
    {
        switch (value)
        {
            case string text:
                _to.Write('t');
                _to.Write(text);
                break;
            case long number:
                _to.Write('n');
                _to.Write(number);
                break;
            case double number:
                _to.Write('d');
                _to.Write(number);
                break;
            default:
                _to.Write('-');
                break;
        }
    }
}
